package samelight.engine.likeness;

import java.util.Arrays;

/**
 * Bands that an electronic shutter leaves under flickering light, seen as what differs between two
 * frames of one framing.
 *
 * <p>The sensor's rows are exposed one after another. Under light 1 + m cos(2&pi; f t) ([IEEE1789])
 * the row at the share &rho; of the sensor's height, read T&rho; later than the first, gets
 *
 * <p>log2(1 + m' cos(2&pi; (f T &rho; + &phi;))),
 *
 * <p>with m' = m sinc(f d) for an exposure of d. The content's own brightness falls out of the
 * difference of two frames of a framing, and what is left is, for small m', a cosine of the same c
 * = f T cycles over the sensor with the amplitude A = 2 m' |sin(&pi; &Delta;&phi;)| / ln 2 on top
 * of the gain. So the median of the difference over each row (over each column of an upright
 * picture that was turned) is fitted by a constant, a slope and a cosine, by least squares for each
 * c from 1 to 12 cycles. There are bands if the best cosine has {@link #LEAST} stop or more, leaves
 * less than {@link #LEFT} of the variance around the line, and the medians across the rows show no
 * cosine half as strong: people who move do. Two frames whose phases happen to agree show nothing.
 */
final class Bands {
  /** What is seen in an even wall (common practice, no source), in stops. */
  static final double LEAST = 0.08;

  static final double LEFT = 0.35;
  private static final int FEWEST_PIXELS = 8;
  private static final double MOST_CYCLES = 12;

  /** A cosine half this many cycles beside the bands takes nearly all of them away. */
  private static final double STEP = 0.125;

  /** Most rows are needed, that a cosine can be told from chance. */
  private static final double ROWS_NEEDED = 0.7;

  private Bands() {}

  /**
   * The bands in the difference of two frames of a framing; of amplitude 0 where there are none.
   *
   * @param shift from the first view to the second, in pixels
   * @param turned whether the sensor's rows stand upright in the views
   */
  static Fit between(View first, View second, int[] shift, boolean turned) {
    if (first.width != second.width || first.height != second.height) {
      return NONE;
    }
    Fit along = fit(profile(first, second, shift, turned));
    if (!(along.amplitude() >= LEAST) || along.left > LEFT) {
      return NONE;
    }
    Fit across = fit(profile(first, second, shift, !turned));
    return across.amplitude() < along.amplitude() / 2 ? along : NONE;
  }

  /** Medians of the difference over rows, or over columns; NaN where too little is valid. */
  private static double[] profile(View a, View b, int[] shift, boolean columns) {
    int n = columns ? a.width : a.height;
    int m = columns ? a.height : a.width;
    double[] out = new double[n];
    double[] d = new double[m];
    for (int i = 0; i < n; i++) {
      int count = 0;
      for (int j = 0; j < m; j++) {
        int x = columns ? i : j;
        int y = columns ? j : i;
        int bx = x + shift[0];
        int by = y + shift[1];
        if (bx < 0 || by < 0 || bx >= b.width || by >= b.height) {
          continue;
        }
        int at = y * a.width + x;
        int to = by * b.width + bx;
        if (a.valid[at] && b.valid[to]) {
          d[count++] = b.green.v[to] - a.green.v[at];
        }
      }
      Arrays.sort(d, 0, count);
      out[i] = count < FEWEST_PIXELS ? Double.NaN : d[count / 2];
    }
    return out;
  }

  /**
   * A cosine over the rows, its parts in stops, and the share of the variance around the line that
   * it leaves.
   */
  record Fit(double cycles, double cos, double sin, double left) {
    double amplitude() {
      return Math.hypot(cos, sin);
    }

    /** Stops at a share of the sensor's height. */
    double at(double share) {
      double turn = 2 * Math.PI * cycles * share;
      return cos * Math.cos(turn) + sin * Math.sin(turn);
    }
  }

  static final Fit NONE = new Fit(0, 0, 0, 1);

  static Fit fit(double[] profile) {
    int n = profile.length;
    int known = 0;
    for (double p : profile) {
      known += Double.isNaN(p) ? 0 : 1;
    }
    if (known < ROWS_NEEDED * n || known < 16) {
      return NONE;
    }
    double line = solve(profile, 0)[0];
    if (line < 1e-12) {
      return NONE;
    }
    Fit best = NONE;
    for (double cycles = 1; cycles <= Math.min(MOST_CYCLES, n / 4.0); cycles += STEP) {
      double[] r = solve(profile, cycles);
      if (r[0] / line < best.left) {
        best = new Fit(cycles, r[1], r[2], r[0] / line);
      }
    }
    return best;
  }

  /** {squares left, cosine, sine} of a constant, a slope and, for cycles above 0, a wave. */
  private static double[] solve(double[] profile, double cycles) {
    int k = cycles > 0 ? 4 : 2;
    double[][] a = new double[k][k + 1];
    double squares = 0;
    int n = profile.length;
    double[] row = new double[k];
    for (int i = 0; i < n; i++) {
      if (Double.isNaN(profile[i])) {
        continue;
      }
      double t = (i + 0.5) / n;
      row[0] = 1;
      row[1] = t - 0.5;
      if (k == 4) {
        row[2] = Math.cos(2 * Math.PI * cycles * t);
        row[3] = Math.sin(2 * Math.PI * cycles * t);
      }
      for (int p = 0; p < k; p++) {
        for (int q = 0; q < k; q++) {
          a[p][q] += row[p] * row[q];
        }
        a[p][k] += row[p] * profile[i];
      }
      squares += profile[i] * profile[i];
    }
    double[] right = new double[k];
    for (int p = 0; p < k; p++) {
      right[p] = a[p][k];
    }
    double[] x = eliminate(a);
    double left = squares;
    for (int p = 0; p < k; p++) {
      left -= x[p] * right[p];
    }
    return k == 4 ? new double[] {Math.max(0, left), x[2], x[3]} : new double[] {Math.max(0, left)};
  }

  /** Gauss-Jordan elimination of a small positive definite system. */
  private static double[] eliminate(double[][] a) {
    int k = a.length;
    for (int p = 0; p < k; p++) {
      for (int q = 0; q < k; q++) {
        if (q == p) {
          continue;
        }
        double f = a[q][p] / a[p][p];
        for (int r = p; r <= k; r++) {
          a[q][r] -= f * a[p][r];
        }
      }
    }
    double[] x = new double[k];
    for (int p = 0; p < k; p++) {
      x[p] = a[p][k] / a[p][p];
    }
    return x;
  }
}
