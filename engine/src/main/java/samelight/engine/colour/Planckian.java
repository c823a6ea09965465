package samelight.engine.colour;

import java.util.Optional;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Kelvin;

/**
 * The Planckian locus, and correlated colour temperature by its definition: the temperature of the
 * Planckian radiator nearest in the CIE 1960 diagram, which is the (u&prime;, 2/3 v&prime;) diagram
 * ([CIE15]). Duv is the distance to it, positive above ([ANSI-C78.377]).
 *
 * <p>The locus is Planck's law with c2 = 1.4388e-2 m K, summed over the CIE 1931 observer at 5 nm;
 * against 1 nm that is 0.05 K at 6500 K. The nearest point is found on a cubic through a table in
 * steps of 4 mired and then corrected by Newton's step on the locus itself, which leaves less than
 * 1e-6 mired. This is the default of the engine: [OHNO14] and [ROBERTSON68] approximate it within
 * about 1 K, in a smaller range.
 */
public final class Planckian {
  /** Farthest distance from the locus that gets a colour temperature here. */
  static final double MAX_DUV = 0.2;

  private static final double C2 = 1.4388e-2 * 1e9; // nm K
  private static final double MIN_MIRED = 1e6 / Kelvin.MAX;
  private static final double MAX_MIRED = 1e6 / Kelvin.MIN;
  private static final int ROWS = 501;
  private static final int HALVINGS = 20;
  private static final double LONGEST_STEP = 1e-2;

  /** For each wavelength the exponent of Planck's law by mired, and its fifth power by 560 nm. */
  private static final double[] PER_MIRED = new double[StandardObserver1931.SIZE];

  private static final double[] WEIGHT = new double[StandardObserver1931.SIZE];

  static {
    for (int i = 0; i < PER_MIRED.length; i++) {
      PER_MIRED[i] = C2 / StandardObserver1931.wavelength(i) * 1e-6;
      WEIGHT[i] = Math.pow(560 / StandardObserver1931.wavelength(i), 5);
    }
  }

  private static final double[][] GRID = grid();

  private Planckian() {}

  /** The chromaticity of a Planckian radiator. */
  public static Chromaticity chromaticity(Kelvin temperature) {
    double[] p = locus(temperature.toMired().value());
    return Chromaticity.ofUv1960(p[0], p[1]);
  }

  /**
   * The chromaticity of a temperature and distance from the locus.
   *
   * @throws IllegalArgumentException if there is no such chromaticity
   */
  public static Chromaticity chromaticity(WhiteTemperature white) {
    double[] p = locus(white.kelvin().toMired().value());
    double length = Math.hypot(p[2], p[3]);
    double duv = white.duv().value();
    return Chromaticity.ofUv1960(p[0] - duv * p[3] / length, p[1] + duv * p[2] / length);
  }

  /**
   * The correlated colour temperature and distance from the locus. By convention ([CIE15]) the term
   * is used up to a distance of 0.05; results up to 0.2 are given here, and the caller may judge.
   *
   * @return empty where the chromaticity lies beyond an end of the locus, 500 and 1,000,000 K, or
   *     farther than 0.2 from it
   */
  public static Optional<WhiteTemperature> temperature(Chromaticity white) {
    double u = white.u();
    double v = white.v();
    int nearest = 0;
    double least = Double.MAX_VALUE;
    for (int i = 0; i < GRID.length; i++) {
      double du = GRID[i][0] - u;
      double dv = GRID[i][1] - v;
      double d = du * du + dv * dv;
      if (d < least) {
        least = d;
        nearest = i;
      }
    }
    int low = Math.max(0, nearest - 1);
    int high = Math.min(GRID.length - 1, nearest + 1);
    if (ahead(GRID[low], u, v) <= 0 || ahead(GRID[high], u, v) >= 0) {
      return Optional.empty();
    }
    int from = ahead(GRID[nearest], u, v) > 0 ? nearest : low;
    double near = onCubic(from, u, v);
    double[] p = locus(near);
    double slope =
        (ahead(GRID[from + 1], u, v) - ahead(GRID[from], u, v)) / (mired(from + 1) - mired(from));
    double step = -ahead(p, u, v) / slope;
    // Where the slope says little, at the locus' centre of curvature, the cubic's point stands.
    step = Math.abs(step) < LONGEST_STEP ? step : 0;
    double besideU = u - p[0] - step * p[2];
    double besideV = v - p[1] - step * p[3];
    double duv = Math.copySign(Math.hypot(besideU, besideV), p[2] * besideV - p[3] * besideU);
    double mired = near + step;
    if (Math.abs(duv) > MAX_DUV || mired < MIN_MIRED || mired > MAX_MIRED) {
      return Optional.empty();
    }
    return Optional.of(new WhiteTemperature(new Kelvin(1e6 / mired), new Duv(duv)));
  }

  /** How far (u, v) lies ahead of a point of the locus in its direction; 0 at the nearest point. */
  private static double ahead(double[] p, double u, double v) {
    return (u - p[0]) * p[2] + (v - p[1]) * p[3];
  }

  /** The mired of the nearest point between two rows of the table, by halving on their cubic. */
  private static double onCubic(int from, double u, double v) {
    double[] a = GRID[from];
    double[] b = GRID[from + 1];
    double first = mired(from);
    double width = mired(from + 1) - first;
    double low = 0;
    double high = 1;
    double[] p = new double[4];
    for (int i = 0; i < HALVINGS; i++) {
      double f = (low + high) / 2;
      for (int k = 0; k < 2; k++) {
        double c1 = a[k + 2] * width;
        double c2 = 3 * (b[k] - a[k]) - (2 * a[k + 2] + b[k + 2]) * width;
        double c3 = (a[k + 2] + b[k + 2]) * width - 2 * (b[k] - a[k]);
        p[k] = ((c3 * f + c2) * f + c1) * f + a[k];
        p[k + 2] = (3 * c3 * f + 2 * c2) * f + c1;
      }
      if (ahead(p, u, v) > 0) {
        low = f;
      } else {
        high = f;
      }
    }
    return first + width * (low + high) / 2;
  }

  /** u, v and their derivatives by mired. */
  private static double[] locus(double mired) {
    double x = 0;
    double y = 0;
    double z = 0;
    double dx = 0;
    double dy = 0;
    double dz = 0;
    for (int i = 0; i < StandardObserver1931.SIZE; i++) {
      double perMired = PER_MIRED[i];
      double less1 = Math.expm1(perMired * mired);
      double radiance = WEIGHT[i] / less1;
      double slope = -radiance * perMired * (1 + 1 / less1);
      x += radiance * StandardObserver1931.x(i);
      y += radiance * StandardObserver1931.y(i);
      z += radiance * StandardObserver1931.z(i);
      dx += slope * StandardObserver1931.x(i);
      dy += slope * StandardObserver1931.y(i);
      dz += slope * StandardObserver1931.z(i);
    }
    double d = x + 15 * y + 3 * z;
    double dd = dx + 15 * dy + 3 * dz;
    double u = 4 * x / d;
    double v = 6 * y / d;
    return new double[] {u, v, (4 * dx - u * dd) / d, (6 * dy - v * dd) / d};
  }

  private static double mired(int row) {
    return MIN_MIRED + row * (MAX_MIRED - MIN_MIRED) / (GRID.length - 1);
  }

  private static double[][] grid() {
    double[][] grid = new double[ROWS][];
    for (int i = 0; i < ROWS; i++) {
      grid[i] = locus(MIN_MIRED + i * (MAX_MIRED - MIN_MIRED) / (ROWS - 1));
    }
    return grid;
  }
}
