package samelight.engine.sidecar;

/** Told how far a carry or revert has come; called from several threads, one at a time. */
@FunctionalInterface
public interface Progress {
  /** Nobody listens. */
  Progress NONE = (done, total) -> {};

  /**
   * Told after each sidecar.
   *
   * @param done sidecars done so far
   * @param total sidecars in all
   */
  void at(int done, int total);
}
