package samelight.engine.sidecar;

/** What happened, or will happen, to the sidecar of a frame in a carry. */
public enum Outcome {
  /** Written. */
  WRITTEN(false, "written"),
  /** Already says what would be written. */
  UNCHANGED(false, "unchanged"),
  /** Rated -1 (xmp:Rating): no recipe. */
  REJECTED(false, "rated -1, no recipe"),
  /** Proposed out by the keepers: no recipe. */
  PROPOSED_OUT(false, "proposed out by `keepers`, no recipe"),
  /** Edited before the first carry: left alone. */
  EDITED_BEFORE(false, "edited before the first carry, left alone"),
  /** In no group that is carried, or without a match: left alone. */
  NOT_CARRIED(false, "not in a group that is carried"),
  /** The group's reference has no grade yet: left alone. */
  NO_GRADE(true, "the reference of its group has no grade yet"),
  /** The group mixes kinds of files, or no edit map is for this kind: left alone. */
  OTHER_KIND(true, "a grade never reaches another kind of file"),
  /** The sidecar can't be understood: never overwritten. */
  UNREADABLE(true, "its sidecar can't be understood and was not touched"),
  /** It is understood, but has no place for a number that is compensated: left alone. */
  NO_PLACE(true, "its sidecar has no place for a compensated number and was not touched"),
  /** Two frames would have one sidecar, or names differ only in case: left alone. */
  NAME_CLASH(true, "another frame has the same sidecar name"),
  /** The sidecar is, or lies behind, a link that leaves the shoot: left alone. */
  OUTSIDE(true, "its sidecar would lie outside the shoot"),
  /** The frame is no longer where it was read: no sidecar is made for it. */
  GONE(true, "the frame is no longer there"),
  /** Changed by another program between reading and writing: left alone. */
  CHANGED_MEANWHILE(true, "its sidecar was changed by another program meanwhile"),
  /** The system refused to write it. */
  COULD_NOT_WRITE(true, "could not be written");

  private final boolean attention;
  private final String words;

  Outcome(boolean attention, String words) {
    this.attention = attention;
    this.words = words;
  }

  /** Whether a person should do something about it (exit status 1). */
  public boolean attention() {
    return attention;
  }

  /** In words. */
  public String words() {
    return words;
  }
}
