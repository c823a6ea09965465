package samelight.samples.light;

/**
 * The Planckian locus as two rational functions of temperature, and correlated colour temperature
 * as the nearest point on it.
 *
 * <p>M. Krystek, <i>An algorithm to calculate correlated colour temperature</i>, Color Research and
 * Application 10 (1985) 38-40, doi:10.1002/col.5080100109. In CIE 1960 u, v:
 *
 * <pre>
 * u(T) = (0.860117757 + 1.54118254e-4 T + 1.28641212e-7 T^2) / (1 + 8.42420235e-4 T + 7.08145163e-7 T^2)
 * v(T) = (0.317398726 + 4.22806245e-5 T + 4.20481691e-8 T^2) / (1 - 2.89741816e-5 T + 1.61456053e-7 T^2)
 * </pre>
 *
 * for 1000 K to 15000 K, where both stay within 9e-5 of the locus. The nearest point is searched in
 * mired, where the distance has one minimum. Duv is the signed distance to the locus in the CIE
 * 1960 diagram, above it (green) positive, as in ANSI C78.377.
 */
public final class Krystek1985 {

  /** Lowest temperature of the formula, in kelvin. */
  public static final double LOWEST_KELVIN = 1000;

  /** Highest temperature of the formula, in kelvin. */
  public static final double HIGHEST_KELVIN = 15000;

  private static final double GOLDEN = (StrictMath.sqrt(5) - 1) / 2;

  private Krystek1985() {}

  /**
   * A point on the locus, or off it by {@code duv}.
   *
   * @param kelvin temperature, 1000 to 15000
   * @param duv distance from the locus along its normal, positive towards green
   * @throws IllegalArgumentException if the temperature is out of range
   */
  public static Chromaticity chromaticity(double kelvin, double duv) {
    if (!(kelvin >= LOWEST_KELVIN && kelvin <= HIGHEST_KELVIN)) {
      throw new IllegalArgumentException(
          "colour temperature must be 1000 to 15000 K, got " + kelvin);
    }
    double u = u(kelvin);
    double v = v(kelvin);
    if (duv == 0) {
      return Chromaticity.ofUv(u, v);
    }
    double step = 0.01;
    double du = u(kelvin + step) - u(kelvin - step);
    double dv = v(kelvin + step) - v(kelvin - step);
    double length = StrictMath.hypot(du, dv);
    // With rising temperature u and v fall; the normal that points to greater v is green.
    return Chromaticity.ofUv(u + duv * dv / length, v - duv * du / length);
  }

  /** Correlated colour temperature of a chromaticity, in kelvin, within 1000 to 15000. */
  public static double kelvin(Chromaticity c) {
    double u = c.u();
    double v = c.v();
    double low = 1e6 / HIGHEST_KELVIN;
    double high = 1e6 / LOWEST_KELVIN;
    double a = high - GOLDEN * (high - low);
    double b = low + GOLDEN * (high - low);
    double da = distance(a, u, v);
    double db = distance(b, u, v);
    for (int i = 0; i < 48; i++) {
      if (da < db) {
        high = b;
        b = a;
        db = da;
        a = high - GOLDEN * (high - low);
        da = distance(a, u, v);
      } else {
        low = a;
        a = b;
        da = db;
        b = low + GOLDEN * (high - low);
        db = distance(b, u, v);
      }
    }
    return 2e6 / (low + high);
  }

  /** Signed distance of a chromaticity from the locus, positive towards green. */
  public static double duv(Chromaticity c) {
    double kelvin = kelvin(c);
    double dv = c.v() - v(kelvin);
    double distance = StrictMath.hypot(c.u() - u(kelvin), dv);
    return dv < 0 ? -distance : distance;
  }

  private static double distance(double mired, double u, double v) {
    double kelvin = 1e6 / mired;
    double du = u - u(kelvin);
    double dv = v - v(kelvin);
    return du * du + dv * dv;
  }

  private static double u(double t) {
    return (0.860117757 + 1.54118254e-4 * t + 1.28641212e-7 * t * t)
        / (1 + 8.42420235e-4 * t + 7.08145163e-7 * t * t);
  }

  private static double v(double t) {
    return (0.317398726 + 4.22806245e-5 * t + 4.20481691e-8 * t * t)
        / (1 - 2.89741816e-5 * t + 1.61456053e-7 * t * t);
  }
}
