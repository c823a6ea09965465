package samelight.engine.lighting;

/**
 * Says how frames differ as rendered. Estimates are swappable: the plainest copies an edit blindly,
 * the best compares what the pictures share.
 */
public interface RenderingEstimate {
  /**
   * The difference of frame {@code f} against frame {@code g}, given as places in the order of the
   * day; swapping the frames negates it.
   */
  LightDifference between(int f, int g);

  /** A short name for tables. */
  String name();
}
