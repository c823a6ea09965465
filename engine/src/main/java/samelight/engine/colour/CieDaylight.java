package samelight.engine.colour;

import samelight.engine.quantity.Kelvin;

/** The CIE daylight locus, 4000 to 25,000 K ([CIE15], D illuminants). */
public final class CieDaylight {
  /** Lowest temperature of the locus, in kelvin. */
  public static final double MIN = 4000;

  /** Highest temperature of the locus, in kelvin. */
  public static final double MAX = 25_000;

  private CieDaylight() {}

  /**
   * The chromaticity of daylight.
   *
   * @throws IllegalArgumentException if the temperature isn't within 4000 and 25,000 K
   */
  public static Chromaticity chromaticity(Kelvin temperature) {
    double t = temperature.value();
    if (!(t >= MIN && t <= MAX)) {
      throw new IllegalArgumentException(
          "CIE daylight needs a temperature within 4000 and 25000 K, was " + t);
    }
    double q = 1000 / t;
    double x =
        t <= 7000
            ? ((-4.6070 * q + 2.9678) * q + 0.09911) * q + 0.244063
            : ((-2.0064 * q + 1.9018) * q + 0.24748) * q + 0.237040;
    return new Chromaticity(x, (-3 * x + 2.870) * x - 0.275);
  }
}
