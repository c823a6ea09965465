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
 * against 1 nm that is 0.05 K at 6500 K. The nearest point is found by regula falsi between the
 * neighbours of the nearest point of a table in steps of 5 mired, to 1e-9 mired. This is the
 * default of the engine: [OHNO14] and [ROBERTSON68] approximate it within about 1 K, in a smaller
 * range.
 */
public final class Planckian {
  /** Farthest distance from the locus that gets a colour temperature here. */
  static final double MAX_DUV = 0.2;

  private static final double C2 = 1.4388e-2 * 1e9; // nm K
  private static final double GRID_STEP = 5;
  private static final double MIN_MIRED = 1e6 / Kelvin.MAX;
  private static final double MAX_MIRED = 1e6 / Kelvin.MIN;
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
      double d = Math.hypot(GRID[i][0] - u, GRID[i][1] - v);
      if (d < least) {
        least = d;
        nearest = i;
      }
    }
    double low = Math.max(MIN_MIRED, (nearest - 1) * GRID_STEP);
    double high = Math.min(MAX_MIRED, (nearest + 1) * GRID_STEP);
    if (along(low, u, v) <= 0 || along(high, u, v) >= 0) {
      return Optional.empty();
    }
    double mired = root(low, high, u, v);
    double[] p = locus(mired);
    double side = p[2] * (v - p[1]) - p[3] * (u - p[0]);
    double duv = Math.copySign(Math.hypot(u - p[0], v - p[1]), side);
    if (Math.abs(duv) > MAX_DUV) {
      return Optional.empty();
    }
    return Optional.of(new WhiteTemperature(new Kelvin(1e6 / mired), new Duv(duv)));
  }

  /** How far (u, v) lies ahead of the locus point along the locus; 0 at the nearest point. */
  private static double along(double mired, double u, double v) {
    double[] p = locus(mired);
    return (u - p[0]) * p[2] + (v - p[1]) * p[3];
  }

  /** Secant steps kept inside a bracket (regula falsi, Illinois variant). */
  private static double root(double low, double high, double u, double v) {
    double a = low;
    double b = high;
    double fa = along(a, u, v);
    double fb = along(b, u, v);
    double last = Double.NaN;
    for (int i = 0; i < 60 && b - a > 1e-9; i++) {
      double m = b - fb * (b - a) / (fb - fa);
      double fm = along(m, u, v);
      if (fm == 0 || Math.abs(m - last) < 1e-10) {
        return m;
      }
      last = m;
      if (fm > 0) {
        a = m;
        fa = fm;
        fb /= 2;
      } else {
        b = m;
        fb = fm;
        fa /= 2;
      }
    }
    return (a + b) / 2;
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
      double wavelength = StandardObserver1931.wavelength(i);
      double perMired = C2 / wavelength * 1e-6;
      double exponent = perMired * mired;
      double less1 = Math.expm1(exponent);
      double radiance = Math.pow(560 / wavelength, 5) / less1;
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

  private static double[][] grid() {
    double[][] grid = new double[(int) (MAX_MIRED / GRID_STEP) + 1][];
    for (int i = 0; i < grid.length; i++) {
      grid[i] = locus(Math.max(MIN_MIRED, i * GRID_STEP));
    }
    return grid;
  }
}
