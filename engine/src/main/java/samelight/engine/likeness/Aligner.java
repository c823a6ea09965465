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
      double low = 0;
      double high = aWidth - 1.0;
      double u = xy * y + x0;
      double v = yy * y + y0;
      low = Math.max(low, (1e-3 - u) / xx);
      high = Math.min(high, (width - 1.001 - u) / xx);
      if (Math.abs(yx) < 1e-12) {
        if (v < 1e-3 || v > height - 1.001) {
          high = -1;
        }
      } else {
        double p = (1e-3 - v) / yx;
        double q = (height - 1.001 - v) / yx;
        low = Math.max(low, Math.min(p, q));
        high = Math.min(high, Math.max(p, q));
      }
      from = (int) Math.ceil(low);
      to = Math.max(from, (int) Math.floor(high) + 1);
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
    double[] m = new double[16];
    double[] g = new double[4];
    float[] bv = b.v;
    int bw = b.width;
    double ax = (double) first.width / a.width;
    double ay = (double) first.height / a.height;
    float sx = (float) b.width / second.width;
    float sy = (float) b.height / second.height;
    double cx = (first.width - 1) / 2.0;
    double cy = (first.height - 1) / 2.0;
    double size = Math.hypot(p[0], p[1]);
    // thousands of pixels aren't needed for four unknowns
    int stride = a.height > MOST_LINES ? 4 : 2;
    double least = LEAST_OVERLAP * Math.min(a.v.length, b.v.length) / stride;
    double correlation = 0;
    for (int step = 0; step < steps; step++) {
      java.util.Arrays.fill(m, 0);
      java.util.Arrays.fill(g, 0);
      double suv = 0;
      double suu = 0;
      double svv = 0;
      int n = 0;
      if (!(p[0] > 1e-3)) {
        return false;
      }
      Map map = new Map(a, first, b, second, p);
      float dx = (float) map.xx;
      float dy = (float) map.yx;
      for (int y = step % stride; y < a.height; y += stride) {
        map.line(y, a.width);
        n += map.to - map.from;
        float bx0 = (float) (map.xy * y + map.x0);
        float by0 = (float) (map.yy * y + map.y0);
        float uy = (float) ((y + 0.5) * ay - 0.5 - cy);
        float luv = 0;
        float luu = 0;
        float lvv = 0;
        float g0 = 0;
        float g1 = 0;
        float g2 = 0;
        float g3 = 0;
        float m00 = 0;
        float m01 = 0;
        float m02 = 0;
        float m03 = 0;
        float m11 = 0;
        float m12 = 0;
        float m13 = 0;
        float m22 = 0;
        float m23 = 0;
        float m33 = 0;
        int row = y * a.width;
        for (int x = map.from; x < map.to; x++) {
          float bx = bx0 + dx * x;
          float by = by0 + dy * x;
          int ix = (int) bx;
          int iy = (int) by;
          int i = iy * bw + ix;
          float fx = bx - ix;
          float fy = by - iy;
          float v00 = bv[i];
          float v10 = bv[i + 1];
          float v01 = bv[i + bw];
          float v11 = bv[i + bw + 1];
          float top = v00 + fx * (v10 - v00);
          float low = v01 + fx * (v11 - v01);
          float v = top + fy * (low - top);
          float u = a.v[row + x];
          luv += u * v;
          luu += u * u;
          lvv += v * v;
          float e = u - v;
          float w = 1 / (1 + e * e);
          w *= w;
          float gx = sx * ((v10 - v00) * (1 - fy) + (v11 - v01) * fy);
          float gy = sy * (low - top);
          float ux = (float) ((x + 0.5) * ax - 0.5 - cx);
          float j0 = gx * ux + gy * uy;
          float j1 = gy * ux - gx * uy;
          float we = w * e;
          g0 += j0 * we;
          g1 += j1 * we;
          g2 += gx * we;
          g3 += gy * we;
          float w0 = w * j0;
          float w1 = w * j1;
          float wx = w * gx;
          m00 += w0 * j0;
          m01 += w0 * j1;
          m02 += w0 * gx;
          m03 += w0 * gy;
          m11 += w1 * j1;
          m12 += w1 * gx;
          m13 += w1 * gy;
          m22 += wx * gx;
          m23 += wx * gy;
          m33 += w * gy * gy;
        }
        suv += luv;
        suu += luu;
        svv += lvv;
        g[0] += g0;
        g[1] += g1;
        g[2] += g2;
        g[3] += g3;
        m[0] += m00;
        m[1] += m01;
        m[2] += m02;
        m[3] += m03;
        m[5] += m11;
        m[6] += m12;
        m[7] += m13;
        m[10] += m22;
        m[11] += m23;
        m[15] += m33;
      }
      if (n < least) {
        return false;
      }
      correlation = suv / Math.sqrt(Math.max(suu * svv, 1e-9));
      if (step == 0 ? correlation < start : correlation < 0.9 * end) {
        return false;
      }
      if (!solve(m, g)) {
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
