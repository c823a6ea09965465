package samelight.engine.colour;

import java.util.Optional;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Kelvin;

/**
 * Colour temperature and Duv by Ohno's combined method ([OHNO14]): a triangular solution near the
 * Planckian locus, a parabolic one from |Duv| 0.002 on; within 1 K from 1000 to 20,000 K and up to
 * |Duv| 0.03.
 *
 * <p>Symbols: the table of the locus has rows i with T_i and distance d_i; m is the nearest row.
 * Departure from the paper: rows are 0.25 % apart instead of 1 %, so that its empirical correction
 * of the parabolic result isn't needed.
 */
public final class Ohno2013 {
  private static final double LOWEST = 1000;
  private static final double HIGHEST = 100_000;
  private static final double SPACING = 1.0025;
  private static final double PARABOLIC_FROM = 0.002;

  /** Rows of T, u, v. */
  private static final double[][] TABLE = table();

  private Ohno2013() {}

  /**
   * The correlated colour temperature and distance from the locus.
   *
   * @return empty where the nearest row is an end of the table, 1000 and 100,000 K, or the distance
   *     exceeds 0.2
   */
  public static Optional<WhiteTemperature> temperature(Chromaticity white) {
    double u = white.u();
    double v = white.v();
    int m = 0;
    double least = Double.MAX_VALUE;
    for (int i = 0; i < TABLE.length; i++) {
      double d = distance(TABLE[i], u, v);
      if (d < least) {
        least = d;
        m = i;
      }
    }
    if (m == 0 || m == TABLE.length - 1) {
      return Optional.empty();
    }
    double[] before = TABLE[m - 1];
    double[] after = TABLE[m + 1];
    double d0 = distance(before, u, v);
    double d2 = distance(after, u, v);
    double l = Math.hypot(after[1] - before[1], after[2] - before[2]);
    double x = (d0 * d0 - d2 * d2 + l * l) / (2 * l);
    double t = before[0] + (after[0] - before[0]) * x / l;
    double above = Math.signum(v - (before[2] + (after[2] - before[2]) * x / l));
    double duv = Math.sqrt(Math.max(0, d0 * d0 - x * x)) * above;
    if (Math.abs(duv) >= PARABOLIC_FROM) {
      double t0 = before[0];
      double t1 = TABLE[m][0];
      double t2 = after[0];
      double first = (least - d0) / (t1 - t0);
      double a = ((d2 - least) / (t2 - t1) - first) / (t2 - t0);
      t = (t0 + t1) / 2 - first / (2 * a);
      duv = (d0 + (t - t0) * (first + a * (t - t1))) * above;
    }
    if (!(Math.abs(duv) <= Planckian.MAX_DUV)) {
      return Optional.empty();
    }
    return Optional.of(new WhiteTemperature(new Kelvin(t), new Duv(duv)));
  }

  private static double distance(double[] row, double u, double v) {
    return Math.hypot(u - row[1], v - row[2]);
  }

  private static double[][] table() {
    int rows = (int) Math.ceil(Math.log(HIGHEST / LOWEST) / Math.log(SPACING)) + 1;
    double[][] table = new double[rows][];
    for (int i = 0; i < rows; i++) {
      double t = LOWEST * Math.pow(SPACING, i);
      Chromaticity white = Planckian.chromaticity(new Kelvin(t));
      table[i] = new double[] {t, white.u(), white.v()};
    }
    return table;
  }
}
