package samelight.engine.metadata;

/** What a file is by its name alone. */
public enum NamedKind {
  /** A raw, JPEG, HEIF or TIFF: what may be a frame. */
  PICTURE,
  /** A film. */
  VIDEO,
  /** A sound note, a film's thumbnail and the like. */
  COMPANION,
  /** An XMP sidecar. */
  SIDECAR,
  /** Anything else. */
  OTHER;

  /** The kind of a file of this name; folders before the name don't matter. */
  public static NamedKind of(String name) {
    if (ShootFiles.picture(name)) {
      return PICTURE;
    }
    return switch (ShootFiles.byName(name)) {
      case VIDEO -> VIDEO;
      case COMPANION -> COMPANION;
      case SIDECAR -> SIDECAR;
      default -> OTHER;
    };
  }

  /** Whether a file of this name is a camera's raw. */
  public static boolean isRaw(String name) {
    return ShootFiles.raw(name);
  }
}
