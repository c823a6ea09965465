package samelight.engine.likeness;

/**
 * Aligns two textures by their patches where most of the picture may disagree, since people stand
 * in front of a place in both, or another place lies behind the same people.
 *
 * <p>Each patch of the first texture is looked for in the second, a few pixels around where a first
 * transform puts it, by normalised correlation. Displacements vote; from the place with most votes
 * a similarity transform is fitted by least squares to the patches that agree with it, and again
 * with those that agree then, as clusters of features are verified in [LOWE04], sections 7.3 and
 * 7.4 (here the patches lie on a grid, and scale and rotation are nearly known).
 */
final class PatchFit {
  /** Side of a patch, in pixels of the first view. */
  static final int PATCH = 6;

  private static final double CORRELATION = 0.7;

  /** Least variance of a patch's texture, of a normalised texture's 1. */
  private static final float TEXTURE = 0.02f;

  /** Pixels by which a patch may lie beside the transform that most votes begin with. */
  private static final double FIRST_TOLERANCE = 1.5;

  private static final int ROUNDS = 4;
  private static final int LEAST = 4;

  /**
   * Squares of distances, in pixels squared, that count for no change of scale and no rotation: a
   * patch half a picture off centre has as much.
   */
  private static final double STIFF = 2000;

  private final Plane first;
  private final Plane full;

  /** Pixels of the full view to a pixel of the texture. */
  private final double pixel;

  private final int reach;
  private final int span;
  private final int width;
  private final int across;
  private final int down;

  /** The second texture where the transform puts it, with a margin; 0 where it has nothing. */
  private final float[][] moved;

  private final double[] x;
  private final double[] y;
  private final double[] dx;
  private final double[] dy;
  private final int[] votes;
  private int found;

  private PatchFit(Plane first, Plane full, int reach) {
    this.first = first;
    this.full = full;
    this.reach = reach;
    pixel = (double) full.width / first.width;
    span = 2 * reach + 1;
    width = first.width + 2 * reach;
    across = first.width / PATCH;
    down = first.height / PATCH;
    moved = new float[first.height + 2 * reach][width];
    x = new double[across * down];
    y = new double[across * down];
    dx = new double[across * down];
    dy = new double[across * down];
    votes = new int[span * span];
  }

  /**
   * Improves a transform in place.
   *
   * @param a first view, whose content isn't finer than the second's
   * @param size of the first view at which patches are compared, see {@link View#texture}
   * @param b second view
   * @param other size of the second view at which its pixels are as large as those
   * @param p xb = p0 xa - p1 ya + p2, yb = p1 xa + p0 ya + p3, in pixels at full size
   * @param reach pixels around that are searched, at that size, 1 or more
   * @param tolerance pixels by which a patch that agrees may lie beside the transform
   * @return how many patches agree about it
   */
  static int improve(View a, int size, View b, int other, double[] p, int reach, double tolerance) {
    PatchFit fit = new PatchFit(a.texture(size), a.green, reach);
    fit.move(b.texture(other), b.green, p);
    fit.search();
    double[] q = fit.mode();
    int agree = 0;
    for (int round = 0; round < ROUNDS; round++) {
      agree = fit.refine(q, round == 0 ? Math.max(FIRST_TOLERANCE, tolerance) : tolerance);
      if (agree < LEAST) {
        return agree;
      }
    }
    fit.compose(p, q);
    return agree;
  }

  private void move(Plane tb, Plane fullB, double[] p) {
    Aligner.Map map = new Aligner.Map(first, full, tb, fullB, p);
    for (int row = 0; row < moved.length; row++) {
      float[] out = moved[row];
      map.line(row - reach, -reach, first.width + reach);
      float x0 = (float) (map.xy * (row - reach) + map.x0);
      float y0 = (float) (map.yy * (row - reach) + map.y0);
      float dx = (float) map.xx;
      float dy = (float) map.yx;
      for (int column = map.from; column < map.to; column++) {
        float bx = x0 + dx * column;
        float by = y0 + dy * column;
        int ix = (int) bx;
        int iy = (int) by;
        out[column + reach] = tb.between(iy * tb.width + ix, bx - ix, by - iy);
      }
    }
  }

  /** Finds each patch's best displacement, and lets it vote for itself and what is around it. */
  private void search() {
    float[] r = new float[across * span * span];
    float[] best = new float[across];
    int[] where = new int[across];
    Correlation rows = new Correlation(first, moved, span, across);
    for (int j = 0; j < down; j++) {
      rows.patches(j);
      java.util.Arrays.fill(best, (float) CORRELATION);
      java.util.Arrays.fill(where, -1);
      for (int e = 0; e < span * span; e++) {
        rows.at(j, e % span, Math.floorDiv(e, span), r, e * across);
        for (int i = 0; i < across; i++) {
          if (r[e * across + i] > best[i]) {
            best[i] = r[e * across + i];
            where[i] = e;
          }
        }
      }
      for (int i = 0; i < across; i++) {
        if (where[i] >= 0) {
          take(i, j, where[i], r);
        }
      }
    }
  }

  private void take(int i, int j, int e, float[] r) {
    int ex = e % span;
    int ey = Math.floorDiv(e, span);
    x[found] = (i + 0.5) * PATCH - 0.5 - centreX();
    y[found] = (j + 0.5) * PATCH - 0.5 - centreY();
    dx[found] = ex - reach;
    dy[found] = ey - reach;
    int at = e * across + i;
    if (ex > 0 && ex < span - 1) {
      dx[found] += peak(r[at - across], r[at], r[at + across]);
    }
    if (ey > 0 && ey < span - 1) {
      dy[found] += peak(r[at - span * across], r[at], r[at + span * across]);
    }
    found++;
    for (int v = Math.max(0, ey - 1); v <= Math.min(span - 1, ey + 1); v++) {
      for (int u = Math.max(0, ex - 1); u <= Math.min(span - 1, ex + 1); u++) {
        votes[v * span + u]++;
      }
    }
  }

  /** Top of a parabola through three values a pixel apart. */
  private static double peak(double left, double middle, double right) {
    double bend = left - 2 * middle + right;
    return bend < 0 ? Math.max(-0.5, Math.min(0.5, 0.5 * (left - right) / bend)) : 0;
  }

  private double centreX() {
    return (first.width - 1) / 2.0;
  }

  private double centreY() {
    return (first.height - 1) / 2.0;
  }

  /** No change of scale, no rotation, and the displacement with most votes. */
  private double[] mode() {
    int most = 0;
    for (int e = 1; e < votes.length; e++) {
      if (votes[e] > votes[most]) {
        most = e;
      }
    }
    return new double[] {0, 0, most % span - reach, Math.floorDiv(most, span) - reach};
  }

  /**
   * Fits displacements q0 x - q1 y + q2, q1 x + q0 y + q3 anew to the patches that agree.
   *
   * @return how many do
   */
  private int refine(double[] q, double tolerance) {
    int n = 0;
    double sx = 0;
    double sy = 0;
    double ss = 0;
    double su = 0;
    double sv = 0;
    double along = 0;
    double turned = 0;
    for (int k = 0; k < found; k++) {
      double u = dx[k] - (q[0] * x[k] - q[1] * y[k] + q[2]);
      double v = dy[k] - (q[1] * x[k] + q[0] * y[k] + q[3]);
      if (u * u + v * v <= tolerance * tolerance) {
        n++;
        sx += x[k];
        sy += y[k];
        ss += x[k] * x[k] + y[k] * y[k];
        su += dx[k];
        sv += dy[k];
        along += x[k] * dx[k] + y[k] * dy[k];
        turned += x[k] * dy[k] - y[k] * dx[k];
      }
    }
    if (n >= LEAST) {
      double s = ss - (sx * sx + sy * sy) / n + STIFF;
      q[0] = (along - (sx * su + sy * sv) / n) / s;
      q[1] = (turned - (sx * sv - sy * su) / n) / s;
      q[2] = (su - q[0] * sx + q[1] * sy) / n;
      q[3] = (sv - q[1] * sx - q[0] * sy) / n;
    }
    return n;
  }

  /** First the displacement in the first view, then the transform. */
  private void compose(double[] p, double[] q) {
    double c = 1 + q[0];
    double s = q[1];
    double cx = (full.width - 1) / 2.0;
    double cy = (full.height - 1) / 2.0;
    double u = pixel * q[2] - (q[0] * cx - q[1] * cy);
    double v = pixel * q[3] - (q[1] * cx + q[0] * cy);
    double p2 = p[0] * u - p[1] * v + p[2];
    double p3 = p[1] * u + p[0] * v + p[3];
    double p0 = p[0] * c - p[1] * s;
    p[1] = p[1] * c + p[0] * s;
    p[0] = p0;
    p[2] = p2;
    p[3] = p3;
  }

  /** Correlations of all patches of a row with one displacement of the other texture. */
  private static final class Correlation {
    private static final float COUNT = PATCH * PATCH;

    private final float[][] first;

    /** Rows of the other texture from a displacement across on. */
    private final float[][][] second;

    private final float[] product;
    private final float[] mean;
    private final float[] scale;

    /** Sum of the other texture over the patch that begins at a pixel. */
    private final float[][] sums;

    /** One over the root of its summed squares around the mean; 0 where there is no texture. */
    private final float[][] scales;

    Correlation(Plane first, float[][] second, int span, int across) {
      this.first = Rows.of(first);
      this.second = new float[span][second.length][first.width];
      for (int e = 0; e < span; e++) {
        for (int y = 0; y < second.length; y++) {
          System.arraycopy(second[y], e, this.second[e][y], 0, first.width);
        }
      }
      product = new float[first.width];
      mean = new float[across];
      scale = new float[across];
      sums = new float[second.length][];
      scales = new float[second.length][];
      for (int y = 0; y < second.length; y++) {
        sums[y] = second[y].clone();
        scales[y] = new float[second[y].length];
        square(second[y], scales[y]);
      }
      boxes(sums);
      boxes(scales);
      for (int y = 0; y < second.length; y++) {
        around(scales[y], sums[y]);
        roots(scales[y]);
      }
    }

    private static void square(float[] v, float[] out) {
      for (int i = 0; i < out.length; i++) {
        out[i] = v[i] * v[i];
      }
    }

    /** Makes of each pixel the sum over the patch that begins there. */
    private static void boxes(float[][] rows) {
      float[] shifted = new float[rows[0].length];
      for (int y = 0; y < rows.length; y++) {
        sixes(rows[y], shifted);
      }
      // row by row, since those above aren't needed again
      for (int y = 0; y + PATCH <= rows.length; y++) {
        down(rows[y], rows[y + 1], rows[y + 2], rows[y + 3], rows[y + 4], rows[y + 5]);
      }
    }

    /** Pairs, then threes of them. */
    private static void sixes(float[] row, float[] shifted) {
      int n = row.length;
      System.arraycopy(row, 1, shifted, 0, n - 1);
      Rows.add(shifted, row);
      float[] pairs = row.clone();
      System.arraycopy(pairs, 2, shifted, 0, n - 2);
      Rows.add(shifted, row);
      System.arraycopy(pairs, 4, shifted, 0, n - 4);
      Rows.add(shifted, row);
    }

    private static void down(float[] a, float[] b, float[] c, float[] d, float[] e, float[] f) {
      for (int i = 0; i < a.length; i++) {
        a[i] = a[i] + b[i] + c[i] + d[i] + e[i] + f[i];
      }
    }

    /** Squares around the mean. */
    private static void around(float[] squares, float[] sum) {
      for (int i = 0; i < squares.length; i++) {
        squares[i] -= sum[i] * sum[i] * (1 / COUNT);
      }
    }

    private static void roots(float[] squares) {
      float[] root = new float[squares.length];
      for (int i = 0; i < root.length; i++) {
        root[i] = 1 / (float) Math.sqrt(Math.max(TEXTURE * COUNT, squares[i]));
      }
      for (int i = 0; i < root.length; i++) {
        squares[i] = squares[i] > TEXTURE * COUNT ? root[i] : 0;
      }
    }

    private static float scale(float squares) {
      return squares > TEXTURE * COUNT ? 1 / (float) Math.sqrt(squares) : 0;
    }

    /** Looks at a row of patches of the first texture. */
    void patches(int j) {
      for (int i = 0; i < mean.length; i++) {
        float s = 0;
        float ss = 0;
        for (int y = j * PATCH; y < (j + 1) * PATCH; y++) {
          for (int k = i * PATCH; k < (i + 1) * PATCH; k++) {
            float u = first[y][k];
            s += u;
            ss += u * u;
          }
        }
        mean[i] = s / COUNT;
        scale[i] = scale(ss - s * mean[i]);
      }
    }

    /** Correlations of these patches, 0 where there is too little texture. */
    void at(int j, int ex, int ey, float[] out, int offset) {
      int y = j * PATCH;
      float[][] other = second[ex];
      three(
          first[y],
          other[y + ey],
          first[y + 1],
          other[y + ey + 1],
          first[y + 2],
          other[y + ey + 2]);
      y += 3;
      more(
          first[y],
          other[y + ey],
          first[y + 1],
          other[y + ey + 1],
          first[y + 2],
          other[y + ey + 2]);
      float[] sum = sums[j * PATCH + ey];
      float[] scaled = scales[j * PATCH + ey];
      for (int i = 0; i < mean.length; i++) {
        int x = i * PATCH;
        float uv =
            product[x]
                + product[x + 1]
                + product[x + 2]
                + (product[x + 3] + product[x + 4] + product[x + 5]);
        out[offset + i] = (uv - mean[i] * sum[x + ex]) * scale[i] * scaled[x + ex];
      }
    }

    private void three(float[] a, float[] b, float[] c, float[] d, float[] e, float[] f) {
      float[] out = product;
      for (int x = 0; x < out.length; x++) {
        out[x] = a[x] * b[x] + c[x] * d[x] + e[x] * f[x];
      }
    }

    private void more(float[] a, float[] b, float[] c, float[] d, float[] e, float[] f) {
      float[] out = product;
      for (int x = 0; x < out.length; x++) {
        out[x] += a[x] * b[x] + c[x] * d[x] + e[x] * f[x];
      }
    }
  }
}
