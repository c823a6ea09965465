package samelight.engine.account;

/**
 * The lines of an account. Every file stands in exactly one; a frame in that of its farthest step.
 */
public enum Line {
  /** A frame whose picture lies in the gallery. */
  DELIVERED("frames delivered"),
  /** A frame with an export that isn't in the gallery. */
  EXPORTED("frames exported, not delivered yet"),
  /** A frame that is not kept. */
  NOT_KEPT("frames not kept"),
  /** A kept frame that needs eyes, carried or not. */
  NEEDS_EYES("frames that need eyes"),
  /** A kept frame with a recipe in its sidecar. */
  CARRIED("frames carried"),
  /** A kept frame that a person edited before the first carry. */
  EDITED("frames that you edited before the first carry"),
  /** A kept frame of a group, without a recipe in its sidecar. */
  GROUPED("frames grouped, not carried yet"),
  /** A frame that was read and that the plan doesn't know. */
  NOT_GROUPED("frames read, not grouped yet"),
  /** The JPEG of a raw+JPEG pair. */
  PAIRED_JPEG("JPEGs of raw+JPEG pairs, with their raws"),
  /** A video clip. */
  VIDEO("video clips, not grouped"),
  /** A sound note, a clip's thumbnail and the like. */
  COMPANION("companion files, not grouped"),
  /** A sidecar. */
  SIDECAR("sidecars"),
  /** A picture by its name that could not be read. */
  UNREADABLE("unreadable pictures"),
  /** A picture that was not there when the shoot was read last. */
  NOT_READ("pictures not read yet"),
  /** Anything else. */
  OTHER("other files"),
  /** On a card's manifest, and no longer in the shoot. */
  MISSING("MISSING: on a card's list and no longer here"),
  /** Read before, on no manifest, and no longer in the shoot. */
  GONE("GONE: read before and no longer here");

  private final String words;

  Line(String words) {
    this.words = words;
  }

  /** In words. */
  public String words() {
    return words;
  }

  /** Whether its files lie in the shoot now. */
  public boolean here() {
    return this != MISSING && this != GONE;
  }
}
