package samelight.engine.metadata;

/** Told how far reading is; called from several threads, one at a time. */
@FunctionalInterface
public interface ReadProgress {
  /** Tells nobody. */
  ReadProgress NONE = (done, total) -> {};

  /**
   * Some files are done.
   *
   * @param done pictures read so far, 1 to {@code total}
   * @param total pictures to read
   */
  void read(int done, int total);
}
