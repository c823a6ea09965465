package samelight.engine.likeness;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * Where one view's content may lie in another: peaks of the normalised cross-correlation of locally
 * normalised texture over a ladder of scales, by Fourier transform (after [LEWIS95]).
 */
final class CoarseSearch {
  /** Peaks of the coarse search below this many standard deviations of chance aren't followed. */
  private static final double MIN_PEAK = 5.7;

  private static final double MIN_LATER_PEAK = 6.2;
  private static final int PEAKS = 3;

  private CoarseSearch() {}

  /**
   * A place of the second view in the first: x<sub>second</sub> = scale x<sub>first</sub> + x.
   *
   * @param z height in standard deviations of chance
   */
  record Peak(double z, double scale, double x, double y) {
    /** The same with the views' parts exchanged. */
    Peak turned() {
      return new Peak(z, 1 / scale, -x / scale, -y / scale);
    }
  }

  /** Peaks worth aligning at, best first. */
  static List<Peak> peaks(View a, View b) {
    List<Peak> all = correlated(a.scales(), b.scales());
    all.sort(Comparator.comparingDouble((Peak p) -> -p.z()));
    List<Peak> best = new ArrayList<>();
    for (Peak p : all) {
      if (p.z() < (best.isEmpty() ? MIN_PEAK : MIN_LATER_PEAK) || best.size() == PEAKS) {
        break;
      }
      if (best.stream().noneMatch(q -> near(p, q, a))) {
        best.add(p);
      }
    }
    return best;
  }

  /** The best place at the same scale. */
  static Peak sameSize(View a, View b) {
    return correlated(a.largest(), b.largest()).get(0);
  }

  /** Whether two peaks lead to one alignment: their centres and scales are close. */
  private static boolean near(Peak p, Peak q, View a) {
    double ratio = p.scale() / q.scale();
    double cx = (p.scale() - q.scale()) * a.width / 2 + p.x() - q.x();
    double cy = (p.scale() - q.scale()) * a.height / 2 + p.y() - q.y();
    return ratio > 0.89 && ratio < 1.12 && Math.hypot(cx, cy) < 6 * Math.max(1, p.scale());
  }

  /** Best places of each level of b on a, and of each level of a on b. */
  private static List<Peak> correlated(Scales a, Scales b) {
    Desk desk = Desk.of(a.shape(), b.shape(), a.levels());
    Scales.Spectra p = a.spectra(desk.rows);
    Scales.Spectra q = b.spectra(desk.rows);
    Scales.Weights u = a.weights(b.shape());
    Scales.Weights v = b.weights(a.shape());
    desk.one.take(p);
    desk.other.take(q);
    List<Peak> out = new ArrayList<>(2 * a.levels());
    for (int part = 0; part < desk.first.length; part++) {
      for (int i = 0; i < Scales.NX; i++) {
        float[] re = desk.productRe[i];
        float[] im = desk.productIm[i];
        product(desk.one.re[i], desk.one.im[i], q.re[part][i], q.im[part][i], re, im);
        // both correlations are real: the second rides in the imaginary part
        ride(desk.other.re[i], desk.other.im[i], p.re[part][i], p.im[part][i], re, im);
      }
      desk.fourier.inverse(
          desk.productRe, desk.productIm, desk.re, desk.im, desk.first[part], desk.span);
      peaks(desk, part, desk.re, a, u.large[part], b, v.small[part], out);
      List<Peak> others = new ArrayList<>(a.levels());
      peaks(desk, part, desk.im, b, v.large[part], a, u.small[part], others);
      others.forEach(o -> out.add(o.turned()));
    }
    return out;
  }

  private static void product(
      float[] ar, float[] ai, float[] br, float[] bi, float[] re, float[] im) {
    for (int i = 0; i < re.length; i++) {
      re[i] = ar[i] * br[i] + ai[i] * bi[i];
      im[i] = ai[i] * br[i] - ar[i] * bi[i];
    }
  }

  private static void ride(float[] ar, float[] ai, float[] br, float[] bi, float[] re, float[] im) {
    for (int i = 0; i < re.length; i++) {
      re[i] -= ai[i] * br[i] - ar[i] * bi[i];
      im[i] += ar[i] * br[i] + ai[i] * bi[i];
    }
  }

  /** The highest places of the levels of a small view on a large one. */
  private static void peaks(
      Desk desk,
      int part,
      float[][] z,
      Scales large,
      float[][] on,
      Scales small,
      float[][] under,
      List<Peak> out) {
    java.util.Arrays.fill(desk.highest, 0);
    for (int y = 0; y < desk.rows; y++) {
      if (desk.used[y]) {
        higher(z[y], on[y], under[y], desk.highest);
      }
    }
    double ra = large.ratio(0);
    int n = desk.first[part].length;
    for (int i = 0; i < n; i++) {
      int column = i * desk.span;
      for (int c = column; c < (i + 1) * desk.span; c++) {
        if (desk.highest[c] > desk.highest[column]) {
          column = c;
        }
      }
      int row = 0;
      while (row < desk.rows - 1
          && (!desk.used[row]
              || z[row][column] * on[row][column] * under[row][column] != desk.highest[column])) {
        row++;
      }
      double rb = small.ratio(part * n + i);
      int dx = column - i * desk.span + desk.first[part][i];
      int dy = row < large.shape().height(0) ? row : row - desk.rows;
      // (xa + 1/2) ra = (xb + 1/2) rb + d, so xb = scale xa + shift
      double x = (0.5 * ra - dx) / rb - 0.5;
      double y = (0.5 * ra - dy) / rb - 0.5;
      out.add(new Peak(desk.highest[column] / (Scales.NX * desk.rows), ra / rb, x, y));
    }
  }

  private static void higher(float[] z, float[] on, float[] under, float[] highest) {
    for (int i = 0; i < highest.length; i++) {
      highest[i] = Math.max(highest[i], z[i] * on[i] * under[i]);
    }
  }
}
