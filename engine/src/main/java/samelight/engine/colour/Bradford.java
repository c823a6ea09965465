package samelight.engine.colour;

/**
 * Chromatic adaptation by the linear Bradford transform ([ICC], Annex E, after [LAM85]): whites are
 * scaled in a sharpened cone space.
 */
public final class Bradford {
  private static final Matrix3 CONES =
      Matrix3.of(0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296);
  private static final Matrix3 BACK = CONES.inverse();

  private Bradford() {}

  /**
   * The matrix on XYZ that makes what looked white under {@code from} look white under {@code to}.
   *
   * @throws IllegalArgumentException if {@code from} has no positive response in a cone, far from
   *     any white
   */
  public static Matrix3 adaptation(Chromaticity from, Chromaticity to) {
    double[] a = CONES.times(from.xyz());
    double[] b = CONES.times(to.xyz());
    for (double response : a) {
      if (!(response > 1e-6)) {
        throw new IllegalArgumentException(
            "white to adapt from must have positive cone responses, was " + from);
      }
    }
    return BACK.times(Matrix3.diagonal(b[0] / a[0], b[1] / a[1], b[2] / a[2])).times(CONES);
  }
}
