package samelight.engine.colour;

/**
 * A chromaticity of the CIE 1931 2&deg; observer ([CIE15]).
 *
 * @param x share of X, 0 to 1
 * @param y share of Y, more than 0, to 1 - x
 */
public record Chromaticity(double x, double y) {
  /** Illuminant D50, as [DNG] takes it for its start. */
  public static final Chromaticity D50 = new Chromaticity(0.3457, 0.3585);

  /** Illuminant D65, the white of sRGB ([IEC61966-2-1]). */
  public static final Chromaticity D65 = new Chromaticity(0.3127, 0.3290);

  private static final double SLACK = 1e-9;

  /**
   * @throws IllegalArgumentException if x, y or 1 - x - y is out of range
   */
  public Chromaticity {
    if (!(x >= 0 && y > 0 && x + y <= 1 + SLACK)) {
      throw new IllegalArgumentException(
          "chromaticity needs x >= 0, y > 0 and x + y <= 1, was (" + x + ", " + y + ")");
    }
  }

  /** The chromaticity of tristimulus values; X, Y, Z at any common scale. */
  static Chromaticity ofXyz(double[] xyz) {
    double sum = xyz[0] + xyz[1] + xyz[2];
    return new Chromaticity(xyz[0] / sum, xyz[1] / sum);
  }

  /**
   * From coordinates of the CIE 1960 diagram.
   *
   * @throws IllegalArgumentException if it is no real chromaticity
   */
  public static Chromaticity ofUv1960(double u, double v) {
    double d = 2 * u - 8 * v + 4;
    return new Chromaticity(3 * u / d, 2 * v / d);
  }

  /**
   * From coordinates of the CIE 1976 diagram.
   *
   * @throws IllegalArgumentException if it is no real chromaticity
   */
  public static Chromaticity ofUvPrime(double uPrime, double vPrime) {
    return ofUv1960(uPrime, vPrime * 2 / 3);
  }

  /** CIE 1960 u, the same as CIE 1976 u&prime;. */
  public double u() {
    return 4 * x / (-2 * x + 12 * y + 3);
  }

  /** CIE 1960 v. */
  public double v() {
    return 6 * y / (-2 * x + 12 * y + 3);
  }

  /** CIE 1976 u&prime;. */
  public double uPrime() {
    return u();
  }

  /** CIE 1976 v&prime;, 3/2 of the CIE 1960 v. */
  public double vPrime() {
    return 1.5 * v();
  }

  /** Tristimulus values with Y = 1. */
  double[] xyz() {
    return new double[] {x / y, 1, (1 - x - y) / y};
  }
}
