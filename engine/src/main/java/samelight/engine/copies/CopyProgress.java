package samelight.engine.copies;

/** Told how far a run is, from any thread. */
public interface CopyProgress {
  /** Tells nobody. */
  CopyProgress NONE = (step, done, total) -> {};

  /** What is being done. */
  enum Step {
    /** Cards are read and written to all destinations. */
    COPYING,
    /** Copies are read back from their drives. */
    READING_BACK
  }

  /**
   * Some more was done.
   *
   * @param done bytes so far in this step
   * @param total bytes of this step
   */
  void at(Step step, long done, long total);
}
