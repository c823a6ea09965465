package samelight.samples.light;

/**
 * The CIE daylight locus: the chromaticity of a phase of daylight.
 *
 * <p>CIE 15, <i>Colorimetry</i>: for 4000 to 7000 K
 *
 * <pre>
 * x = -4.6070e9/T^3 + 2.9678e6/T^2 + 0.09911e3/T + 0.244063
 * </pre>
 *
 * for 7000 to 25000 K
 *
 * <pre>
 * x = -2.0064e9/T^3 + 1.9018e6/T^2 + 0.24748e3/T + 0.237040
 * </pre>
 *
 * and y = -3.000 x^2 + 2.870 x - 0.275. Daylight lies about 0.003 above the Planckian locus.
 */
public final class CieDaylight {

  private CieDaylight() {}

  /**
   * Chromaticity of the phase of daylight of a temperature.
   *
   * @param kelvin 4000 to 25000
   * @throws IllegalArgumentException if the temperature is out of range
   */
  public static Chromaticity chromaticity(double kelvin) {
    if (!(kelvin >= 4000 && kelvin <= 25000)) {
      throw new IllegalArgumentException("daylight must be 4000 to 25000 K, got " + kelvin);
    }
    double i = 1 / kelvin;
    double x =
        kelvin <= 7000
            ? ((-4.6070e9 * i + 2.9678e6) * i + 0.09911e3) * i + 0.244063
            : ((-2.0064e9 * i + 1.9018e6) * i + 0.24748e3) * i + 0.237040;
    return new Chromaticity(x, (-3 * x + 2.87) * x - 0.275);
  }
}
