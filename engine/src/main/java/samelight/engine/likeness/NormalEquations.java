package samelight.engine.likeness;

/**
 * Sums of one Gauss-Newton step over the lines of two textures. They are kept apart by column until
 * all lines are in: so each is a plain loop through rows, see {@link Rows}.
 */
final class NormalEquations {
  private final Plane a;
  private final double pixelX;
  private final double pixelY;
  private final double centreX;
  private final double centreY;

  /** Columns' distance from the centre, in pixels at full size. */
  private final float[] ux;

  private final float[] u;
  private final float[] v;
  private final float[] gx;
  private final float[] gy;
  private final float[] j0;
  private final float[] j1;
  private final float[] w;
  private final float[] we;
  private final float[][] correlations;
  private final float[][] gradient;
  private final float[][] matrix;

  /**
   * Of a pair of textures.
   *
   * @param a the first texture
   * @param full the first view at full size
   */
  NormalEquations(Plane a, Plane full) {
    this.a = a;
    pixelX = (double) full.width / a.width;
    pixelY = (double) full.height / a.height;
    centreX = (full.width - 1) / 2.0;
    centreY = (full.height - 1) / 2.0;
    int n = a.width;
    ux = new float[n];
    for (int x = 0; x < n; x++) {
      ux[x] = (float) ((x + 0.5) * pixelX - 0.5 - centreX);
    }
    u = new float[n];
    v = new float[n];
    gx = new float[n];
    gy = new float[n];
    j0 = new float[n];
    j1 = new float[n];
    w = new float[n];
    we = new float[n];
    correlations = new float[3][n];
    gradient = new float[4][n];
    matrix = new float[10][n];
  }

  void clear() {
    for (float[][] sums : new float[][][] {correlations, gradient, matrix}) {
      for (float[] sum : sums) {
        java.util.Arrays.fill(sum, 0);
      }
    }
  }

  /** Adds a line of the first texture, of which the map knows the pixels that lie in both. */
  void add(int y, Aligner.Map map, Plane b, Plane full) {
    look(y, map, b, (float) b.width / full.width, (float) b.height / full.height);
    products(u, v, correlations[0], correlations[1], correlations[2]);
    weigh(u, v, w, we);
    steer(gx, gy, ux, (float) ((y + 0.5) * pixelY - 0.5 - centreY), j0, j1);
    two(we, j0, j1, gradient[0], gradient[1]);
    two(we, gx, gy, gradient[2], gradient[3]);
    three(w, j0, j0, j1, gx, matrix[0], matrix[1], matrix[2]);
    three(w, gy, j0, j1, gx, matrix[3], matrix[6], matrix[8]);
    two(w, j1, j1, gx, matrix[4], matrix[5]);
    squares(w, gx, gy, matrix[7], matrix[9]);
  }

  /** Correlation of the two textures. */
  double correlation() {
    double uu = total(correlations[1]);
    double vv = total(correlations[2]);
    return total(correlations[0]) / Math.sqrt(Math.max(uu * vv, 1e-9));
  }

  /** Upper triangle of the 4 x 4 matrix, row by row. */
  double[] left() {
    double[] m = new double[16];
    int k = 0;
    for (int i = 0; i < 4; i++) {
      for (int j = i; j < 4; j++) {
        m[4 * i + j] = total(matrix[k++]);
      }
    }
    return m;
  }

  double[] right() {
    double[] g = new double[4];
    for (int i = 0; i < 4; i++) {
      g[i] = total(gradient[i]);
    }
    return g;
  }

  private static double total(float[] sum) {
    double a = 0;
    double b = 0;
    int i = 0;
    for (; i + 1 < sum.length; i += 2) {
      a += sum[i];
      b += sum[i + 1];
    }
    return i < sum.length ? a + b + sum[i] : a + b;
  }

  /** Takes the line's pixels, and those of the second texture where they come to lie. */
  private void look(int y, Aligner.Map map, Plane b, float scaleX, float scaleY) {
    for (float[] line : new float[][] {u, v, gx, gy}) {
      java.util.Arrays.fill(line, 0, map.from, 0);
      java.util.Arrays.fill(line, map.to, line.length, 0);
    }
    System.arraycopy(a.v, y * a.width + map.from, u, map.from, map.to - map.from);
    float x0 = (float) (map.xy * y + map.x0);
    float y0 = (float) (map.yy * y + map.y0);
    float dx = (float) map.xx;
    float dy = (float) map.yx;
    float[] bv = b.v;
    int bw = b.width;
    for (int x = map.from; x < map.to; x++) {
      float bx = x0 + dx * x;
      float by = y0 + dy * x;
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
      v[x] = top + fy * (low - top);
      gx[x] = scaleX * ((v10 - v00) + fy * ((v11 - v01) - (v10 - v00)));
      gy[x] = scaleY * (low - top);
    }
  }

  private static void products(float[] u, float[] v, float[] uv, float[] uu, float[] vv) {
    for (int i = 0; i < u.length; i++) {
      uv[i] += u[i] * v[i];
      uu[i] += u[i] * u[i];
      vv[i] += v[i] * v[i];
    }
  }

  /** Weights that fall off where the textures differ, and the weighted differences. */
  private static void weigh(float[] u, float[] v, float[] w, float[] we) {
    for (int i = 0; i < w.length; i++) {
      float e = u[i] - v[i];
      float r = 1 / (1 + e * e);
      w[i] = r * r;
      we[i] = r * r * e;
    }
  }

  /** Derivatives by the scale and by the rotation about the centre. */
  private static void steer(float[] gx, float[] gy, float[] ux, float uy, float[] j0, float[] j1) {
    for (int i = 0; i < j0.length; i++) {
      j0[i] = gx[i] * ux[i] + gy[i] * uy;
      j1[i] = gy[i] * ux[i] - gx[i] * uy;
    }
  }

  private static void two(float[] w, float[] s, float[] p, float[] sp, float[] sq) {
    for (int i = 0; i < w.length; i++) {
      sp[i] += w[i] * s[i];
      sq[i] += w[i] * p[i];
    }
  }

  private static void two(float[] w, float[] s, float[] p, float[] q, float[] sp, float[] sq) {
    for (int i = 0; i < w.length; i++) {
      float t = w[i] * s[i];
      sp[i] += t * p[i];
      sq[i] += t * q[i];
    }
  }

  private static void three(
      float[] w, float[] s, float[] p, float[] q, float[] r, float[] sp, float[] sq, float[] sr) {
    for (int i = 0; i < w.length; i++) {
      float t = w[i] * s[i];
      sp[i] += t * p[i];
      sq[i] += t * q[i];
      sr[i] += t * r[i];
    }
  }

  private static void squares(float[] w, float[] p, float[] q, float[] pp, float[] qq) {
    for (int i = 0; i < w.length; i++) {
      pp[i] += w[i] * p[i] * p[i];
      qq[i] += w[i] * q[i] * q[i];
    }
  }
}
