package samelight.engine.likeness;

/**
 * Aligns two textures by a similarity transform: forward-additive Gauss-Newton ([LUCAS81] in the
 * notation of [BAKER04]), with weights that fall off where the textures differ (Geman-McClure),
 * since people move in front of what stays.
 */
final class Aligner {
  private Aligner() {}

  /**
   * Improves a transform in place.
   *
   * @param a first texture
   * @param b second texture
   * @param p xb = p0 xa - p1 ya + p2, yb = p1 xa + p0 ya + p3
   * @param steps most steps
   * @param floor least correlation to succeed
   * @return whether the textures correlate at least by {@code floor} after the last step
   */
  static boolean align(Plane a, Plane b, double[] p, int steps, double floor) {
    double[] m = new double[16];
    double[] g = new double[4];
    double cx = (a.width - 1) / 2.0;
    double cy = (a.height - 1) / 2.0;
    double start = Math.hypot(p[0], p[1]);
    double correlation = 0;
    for (int step = 0; step <= steps; step++) {
      java.util.Arrays.fill(m, 0);
      java.util.Arrays.fill(g, 0);
      double suv = 0;
      double suu = 0;
      double svv = 0;
      int n = 0;
      for (int y = 0; y < a.height; y++) {
        for (int x = 0; x < a.width; x++) {
          double bx = p[0] * x - p[1] * y + p[2];
          double by = p[1] * x + p[0] * y + p[3];
          int ix = (int) Math.floor(bx);
          int iy = (int) Math.floor(by);
          if (ix < 0 || iy < 0 || ix >= b.width - 1 || iy >= b.height - 1) {
            continue;
          }
          int i = iy * b.width + ix;
          float fx = (float) (bx - ix);
          float fy = (float) (by - iy);
          float v00 = b.v[i];
          float v10 = b.v[i + 1];
          float v01 = b.v[i + b.width];
          float v11 = b.v[i + b.width + 1];
          float top = v00 + fx * (v10 - v00);
          float low = v01 + fx * (v11 - v01);
          float v = top + fy * (low - top);
          float u = a.v[y * a.width + x];
          suv += u * v;
          suu += u * u;
          svv += v * v;
          n++;
          float gx = (v10 - v00) * (1 - fy) + (v11 - v01) * fy;
          float gy = low - top;
          float e = u - v;
          double w = 1 / (1 + e * e);
          w *= w;
          double ux = x - cx;
          double uy = y - cy;
          double j0 = gx * ux + gy * uy;
          double j1 = -gx * uy + gy * ux;
          double we = w * e;
          g[0] += j0 * we;
          g[1] += j1 * we;
          g[2] += gx * we;
          g[3] += gy * we;
          double w0 = w * j0;
          double w1 = w * j1;
          m[0] += w0 * j0;
          m[1] += w0 * j1;
          m[2] += w0 * gx;
          m[3] += w0 * gy;
          m[5] += w1 * j1;
          m[6] += w1 * gx;
          m[7] += w1 * gy;
          m[10] += w * gx * gx;
          m[11] += w * gx * gy;
          m[15] += w * gy * gy;
        }
      }
      if (n < 0.15 * Math.min(a.v.length, b.v.length)) {
        return false;
      }
      correlation = suv / Math.sqrt(Math.max(suu * svv, 1e-9));
      if (step == steps) {
        break;
      }
      if (step == 3 && correlation < 0.5 * floor) {
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
      if (!(scale > 0.7 * start && scale < 1.4 * start) || Math.abs(p[1]) > 0.25 * scale) {
        return false;
      }
      if (Math.abs(g[2]) < 0.01 && Math.abs(g[3]) < 0.01 && Math.abs(g[0]) < 2e-4) {
        steps = step + 1;
      }
    }
    return correlation >= floor;
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
