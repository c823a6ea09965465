package samelight.engine.colour;

import java.util.Optional;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Kelvin;

/**
 * Colour temperature from 31 isotemperature lines ([ROBERTSON68]), 1667 K to infinity.
 *
 * <p>The table is that of [WS82], Table 1(3.11): reciprocal temperature in mired, u and v of the
 * CIE 1960 diagram, slope of the isotemperature line. The u at 325 mired is 0.24792; some printings
 * have 0.24702. Symbols: d_i is the distance of (u, v) from line i.
 */
public final class Robertson1968 {
  private static final double[][] LINES = {
    {0, 0.18006, 0.26352, -0.24341},
    {10, 0.18066, 0.26589, -0.25479},
    {20, 0.18133, 0.26846, -0.26876},
    {30, 0.18208, 0.27119, -0.28539},
    {40, 0.18293, 0.27407, -0.3047},
    {50, 0.18388, 0.27709, -0.32675},
    {60, 0.18494, 0.28021, -0.35156},
    {70, 0.18611, 0.28342, -0.37915},
    {80, 0.18740, 0.28668, -0.40955},
    {90, 0.18880, 0.28997, -0.44278},
    {100, 0.19032, 0.29326, -0.47888},
    {125, 0.19462, 0.30141, -0.58204},
    {150, 0.19962, 0.30921, -0.70471},
    {175, 0.20525, 0.31647, -0.84901},
    {200, 0.21142, 0.32312, -1.0182},
    {225, 0.21807, 0.32909, -1.2168},
    {250, 0.22511, 0.33439, -1.4512},
    {275, 0.23247, 0.33904, -1.7298},
    {300, 0.24010, 0.34308, -2.0637},
    {325, 0.24792, 0.34655, -2.4681},
    {350, 0.25591, 0.34951, -2.9641},
    {375, 0.26400, 0.35200, -3.5814},
    {400, 0.27218, 0.35407, -4.3633},
    {425, 0.28039, 0.35577, -5.3762},
    {450, 0.28863, 0.35714, -6.7262},
    {475, 0.29685, 0.35823, -8.5955},
    {500, 0.30505, 0.35907, -11.324},
    {525, 0.31320, 0.35968, -15.628},
    {550, 0.32129, 0.36011, -23.325},
    {575, 0.32931, 0.36038, -40.77},
    {600, 0.33724, 0.36051, -116.45}
  };

  private Robertson1968() {}

  /**
   * The correlated colour temperature and distance from the locus.
   *
   * @return empty where no two lines enclose the chromaticity, or the result is out of range
   */
  public static Optional<WhiteTemperature> temperature(Chromaticity white) {
    double u = white.u();
    double v = white.v();
    double before = distance(LINES[0], u, v);
    for (int i = 1; i < LINES.length; i++) {
      double after = distance(LINES[i], u, v);
      if (before >= 0 && after < 0) {
        return between(LINES[i - 1], LINES[i], before / (before - after), u, v);
      }
      before = after;
    }
    return Optional.empty();
  }

  /**
   * The chromaticity of a temperature and distance.
   *
   * @throws IllegalArgumentException if the temperature is below 1667 K, or there is no such
   *     chromaticity
   */
  public static Chromaticity chromaticity(WhiteTemperature white) {
    double mired = white.kelvin().toMired().value();
    for (int i = 1; i < LINES.length; i++) {
      if (mired <= LINES[i][0]) {
        double[] a = LINES[i - 1];
        double[] b = LINES[i];
        double f = (mired - a[0]) / (b[0] - a[0]);
        double[] direction = direction(a, b, f);
        double duv = white.duv().value();
        return Chromaticity.ofUv1960(
            lerp(a[1], b[1], f) + duv * direction[0], lerp(a[2], b[2], f) + duv * direction[1]);
      }
    }
    throw new IllegalArgumentException(
        "Robertson's lines end at 600 mired (1667 K), temperature was "
            + white.kelvin().value()
            + " K");
  }

  private static Optional<WhiteTemperature> between(
      double[] a, double[] b, double f, double u, double v) {
    double mired = lerp(a[0], b[0], f);
    double[] direction = direction(a, b, f);
    double duv =
        (u - lerp(a[1], b[1], f)) * direction[0] + (v - lerp(a[2], b[2], f)) * direction[1];
    if (mired < 1e6 / Kelvin.MAX || Math.abs(duv) > Planckian.MAX_DUV) {
      return Optional.empty();
    }
    return Optional.of(new WhiteTemperature(new Kelvin(1e6 / mired), new Duv(duv)));
  }

  private static double distance(double[] line, double u, double v) {
    return ((v - line[2]) - line[3] * (u - line[1])) / Math.hypot(1, line[3]);
  }

  /** Unit vector along the isotemperature line, interpolated, towards green. */
  private static double[] direction(double[] a, double[] b, double f) {
    double du = lerp(-1 / Math.hypot(1, a[3]), -1 / Math.hypot(1, b[3]), f);
    double dv = lerp(-a[3] / Math.hypot(1, a[3]), -b[3] / Math.hypot(1, b[3]), f);
    double length = Math.hypot(du, dv);
    return new double[] {du / length, dv / length};
  }

  private static double lerp(double a, double b, double f) {
    return a + (b - a) * f;
  }
}
