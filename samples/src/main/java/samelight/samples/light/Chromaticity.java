package samelight.samples.light;

/**
 * A CIE 1931 chromaticity.
 *
 * @param x CIE 1931 x, between 0 and 1
 * @param y CIE 1931 y, above 0 and at most 1 - x
 */
public record Chromaticity(double x, double y) {

  /** CIE standard illuminant D65, the white of sRGB (CIE 15). */
  public static final Chromaticity D65 = new Chromaticity(0.3127, 0.3290);

  /** Refuses a point outside the triangle of real numbers. */
  public Chromaticity {
    if (!(x >= 0 && y > 0 && x + y <= 1.0000001)) {
      throw new IllegalArgumentException(
          "chromaticity needs x >= 0, y > 0 and x + y <= 1, got x=" + x + " y=" + y);
    }
  }

  /** From CIE 1960 u, v: x = 3u/(2u-8v+4), y = 2v/(2u-8v+4). */
  public static Chromaticity ofUv(double u, double v) {
    double d = 2 * u - 8 * v + 4;
    return new Chromaticity(3 * u / d, 2 * v / d);
  }

  /** From tristimulus values of any scale. */
  public static Chromaticity ofXyz(double[] xyz) {
    double sum = xyz[0] + xyz[1] + xyz[2];
    return new Chromaticity(xyz[0] / sum, xyz[1] / sum);
  }

  /** CIE 1960 u = 4x/(-2x+12y+3). */
  public double u() {
    return 4 * x / (-2 * x + 12 * y + 3);
  }

  /** CIE 1960 v = 6y/(-2x+12y+3). */
  public double v() {
    return 6 * y / (-2 * x + 12 * y + 3);
  }

  /** Tristimulus values with Y = 1. */
  public double[] xyz() {
    return new double[] {x / y, 1, (1 - x - y) / y};
  }
}
