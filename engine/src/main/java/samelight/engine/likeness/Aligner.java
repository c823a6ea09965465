package samelight.engine.likeness;

/**
 * Aligns two textures by a similarity transform: forward-additive Gauss-Newton ([LUCAS81] in the
 * notation of [BAKER04]), with weights that fall off where the textures differ (Geman-McClure),
 * since people move in front of what stays.
 *
 * <p>The transform is stated between the views at full size; the textures may be smaller.
 */
final class Aligner {
  /** Of textures with more lines every fourth is looked at, of others every other. */
  private static final int MOST_LINES = 48;

  /** Share of the smaller texture that must lie in both. */
  private static final double LEAST_OVERLAP = 0.15;

  private Aligner() {}

  /** A line's common range of two planes under an affine map between their pixels. */
  static final class Map {
    final double xx;
    final double xy;
    final double x0;
    final double yx;
    final double yy;
    final double y0;
    private final int width;
    private final int height;
    int from;
    int to;

    /**
     * A map.
     *
     * @param a texture of the first view
     * @param first size of the first view at full size
     * @param b texture of the second view
     * @param second size of the second view at full size
     * @param p xb = p0 xa - p1 ya + p2, yb = p1 xa + p0 ya + p3 at full size
     */
    Map(Plane a, Plane first, Plane b, Plane second, double[] p) {
      double ax = (double) first.width / a.width;
      double ay = (double) first.height / a.height;
      double bx = (double) b.width / second.width;
      double by = (double) b.height / second.height;
      double ox = 0.5 * ax - 0.5;
      double oy = 0.5 * ay - 0.5;
      xx = bx * p[0] * ax;
      xy = -bx * p[1] * ay;
      x0 = bx * (p[0] * ox - p[1] * oy + p[2] + 0.5) - 0.5;
      yx = by * p[1] * ax;
      yy = by * p[0] * ay;
      y0 = by * (p[1] * ox + p[0] * oy + p[3] + 0.5) - 0.5;
      width = b.width;
      height = b.height;
    }

    /** Finds the pixels {@code from} to before {@code to} of a line that lie in both. */
    void line(int y, int aWidth) {
      line(y, 0, aWidth);
    }

    /** The same of the pixels from {@code begin} to before {@code end} of a line. */
    void line(int y, int begin, int end) {
      double low = begin;
      double high = end - 1.0;
      double u = xy * y + x0;
      double v = yy * y + y0;
      low = Math.max(low, (1e-3 - u) / xx);
      high = Math.min(high, (width - 1.001 - u) / xx);
      if (Math.abs(yx) < 1e-12) {
        if (v < 1e-3 || v > height - 1.001) {
          high = begin - 1;
        }
      } else {
        double p = (1e-3 - v) / yx;
        double q = (height - 1.001 - v) / yx;
        low = Math.max(low, Math.min(p, q));
        high = Math.min(high, Math.max(p, q));
      }
      from = (int) Math.ceil(low);
      to = (int) Math.floor(high) + 1;
      if (to <= from) {
        from = begin;
        to = begin;
      }
    }
  }

  /**
   * Improves a transform in place.
   *
   * @param a texture of the first view
   * @param first the first view at full size
   * @param b texture of the second view
   * @param second the second view at full size
   * @param p xb = p0 xa - p1 ya + p2, yb = p1 xa + p0 ya + p3, in pixels at full size
   * @param steps most steps
   * @param start least correlation to begin
   * @param end least correlation to succeed
   * @return whether the textures correlated at least by {@code end} before the last step
   */
  static boolean align(
      Plane a,
      Plane first,
      Plane b,
      Plane second,
      double[] p,
      int steps,
      double start,
      double end) {
    double cx = (first.width - 1) / 2.0;
    double cy = (first.height - 1) / 2.0;
    double size = Math.hypot(p[0], p[1]);
    // thousands of pixels aren't needed for four unknowns
    int stride = a.height > MOST_LINES ? 4 : 2;
    double least = LEAST_OVERLAP * Math.min(a.v.length, b.v.length) / stride;
    NormalEquations sums = new NormalEquations(a, first);
    double correlation = 0;
    for (int step = 0; step < steps; step++) {
      if (!(p[0] > 1e-3)) {
        return false;
      }
      Map map = new Map(a, first, b, second, p);
      sums.clear();
      int n = 0;
      for (int y = step % stride; y < a.height; y += stride) {
        map.line(y, a.width);
        n += map.to - map.from;
        sums.add(y, map, b, second);
      }
      if (n < least) {
        return false;
      }
      correlation = sums.correlation();
      if (step == 0 ? correlation < start : correlation < 0.9 * end) {
        return false;
      }
      double[] g = sums.right();
      if (!solve(sums.left(), g)) {
        return false;
      }
      // parameters were taken about the centre
      p[0] += g[0];
      p[1] += g[1];
      p[2] += g[2] - (g[0] * cx - g[1] * cy);
      p[3] += g[3] - (g[1] * cx + g[0] * cy);
      double scale = Math.hypot(p[0], p[1]);
      if (!(scale > 0.7 * size && scale < 1.4 * size) || Math.abs(p[1]) > 0.25 * scale) {
        return false;
      }
      if (Math.abs(g[2]) < 0.02 && Math.abs(g[3]) < 0.02 && Math.abs(g[0]) < 4e-4) {
        break;
      }
    }
    return correlation >= end;
  }

  /** Solves the symmetric 4 x 4 system in place by Cholesky; the upper triangle is given. */
  private static boolean solve(double[] m, double[] g) {
    double[][] l = new double[4][4];
    for (int i = 0; i < 4; i++) {
      m[i * 5] *= 1.001;
      for (int j = 0; j <= i; j++) {
        double s = m[j * 4 + i];
        for (int k = 0; k < j; k++) {
          s -= l[i][k] * l[j][k];
        }
        if (i == j) {
          if (s <= 1e-9) {
            return false;
          }
          l[i][i] = Math.sqrt(s);
        } else {
          l[i][j] = s / l[j][j];
        }
      }
    }
    for (int i = 0; i < 4; i++) {
      for (int k = 0; k < i; k++) {
        g[i] -= l[i][k] * g[k];
      }
      g[i] /= l[i][i];
    }
    for (int i = 3; i >= 0; i--) {
      for (int k = i + 1; k < 4; k++) {
        g[i] -= l[k][i] * g[k];
      }
      g[i] /= l[i][i];
    }
    return true;
  }
}
