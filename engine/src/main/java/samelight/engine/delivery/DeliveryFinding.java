package samelight.engine.delivery;

/**
 * Something that stops a delivery unless it is told to go on.
 *
 * @param kind what it is about
 * @param file the frame or the export
 * @param what what was found, in words
 * @param next what to do about it
 */
public record DeliveryFinding(Kind kind, String file, String what, String next) {
  /** Kinds of finding, in the order in which they are listed. */
  public enum Kind {
    /** A frame that is kept has no export. */
    MISSING,
    /** An export has no frame. */
    NO_FRAME,
    /** An export's frame isn't kept. */
    NOT_KEPT,
    /** A frame was exported twice with nothing that tells the exports apart. */
    DOUBLED,
    /** An export's capture time contradicts the frame of its name. */
    DOUBTFUL,
    /** An export is cut or is no JPEG; it is never delivered. */
    DAMAGED,
    /** An export has no colour profile. */
    NO_PROFILE,
    /** An export's colour profile isn't sRGB. */
    OTHER_PROFILE,
    /** An export has fewer pixels than asked. */
    SMALL,
    /** An export is compressed more than asked. */
    LOW_QUALITY,
    /** An export is turned upright by a tag alone. */
    TURNED
  }
}
