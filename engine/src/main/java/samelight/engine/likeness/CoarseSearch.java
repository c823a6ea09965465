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
  record Peak(double z, double scale, double x, double y) {}

  /** Peaks worth aligning at, best first. */
  static List<Peak> peaks(View a, View b) {
    List<Peak> all = new ArrayList<>();
    for (int k = 0; k < Scales.LEVELS; k++) {
      // b smaller in a, and a smaller in b, by one inverse transform
      pair(a, 0, k, b, k, 0, all);
    }
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
    List<Peak> nearest = new ArrayList<>();
    pair(a, 0, 0, b, 0, 0, nearest);
    return nearest.get(0);
  }

  /** Whether two peaks lead to one alignment: their centres and scales are close. */
  private static boolean near(Peak p, Peak q, View a) {
    double ratio = p.scale() / q.scale();
    double cx = (p.scale() - q.scale()) * a.width / 2 + p.x() - q.x();
    double cy = (p.scale() - q.scale()) * a.height / 2 + p.y() - q.y();
    return ratio > 0.89 && ratio < 1.12 && Math.hypot(cx, cy) < 6 * Math.max(1, p.scale());
  }

  /** Best places of level kb of b on level ka of a, and of level kb2 of b on level ka2 of a. */
  private static void pair(View a, int ka, int ka2, View b, int kb, int kb2, List<Peak> out) {
    Scales sa = a.scales();
    Scales sb = b.scales();
    Scales.Desk desk = Scales.Desk.of(sa, sb);
    Scales.Spectrum p = sa.spectrum(ka, desk.rows);
    Scales.Spectrum q = sb.spectrum(kb, desk.rows);
    boolean both = ka != ka2 || kb != kb2;
    Scales.Spectrum r = both ? sa.spectrum(ka2, desk.rows) : p;
    Scales.Spectrum t = both ? sb.spectrum(kb2, desk.rows) : q;
    for (int i = 0; i < Scales.NX; i++) {
      float[] re = desk.productRe[i];
      float[] im = desk.productIm[i];
      product(p.re[i], p.im[i], q.re[i], q.im[i], re, im);
      if (both) {
        // both correlations are real: the second rides in the imaginary part
        ride(r.re[i], r.im[i], t.re[i], t.im[i], re, im);
      }
    }
    desk.fourier.inverse(desk.productRe, desk.productIm, desk.re, desk.im);
    out.add(peakOf(desk.re, desk.rows, a, ka, b, kb));
    if (both) {
      out.add(peakOf(desk.im, desk.rows, a, ka2, b, kb2));
    }
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

  /**
   * The highest place of a correlation. Energies of the overlap are differences of sums over
   * columns, taken beyond both ends so that each line is one plain loop.
   */
  private static Peak peakOf(float[][] z, int rows, View a, int ka, View b, int kb) {
    Plane pa = a.scales().level(ka);
    Plane pb = b.scales().level(kb);
    float[] ea = a.scales().energy(ka);
    float[] eb = b.scales().mirrored(kb);
    int wa = pa.width;
    int wb = pb.width;
    int minX = Math.max(4, Math.min(wa, wb) / 2);
    int minY = Math.max(4, Math.min(pa.height, pb.height) / 2);
    int from = minX - wb;
    float[] overlap = new float[wa - minX - from + 1];
    for (int i = 0; i < overlap.length; i++) {
      overlap[i] = Math.min(wa, from + i + wb) - Math.max(0, from + i);
    }
    float[] columnsA = new float[3 * Scales.LONG + 1];
    float[] columnsB = new float[3 * Scales.LONG + 1];
    float[] line = new float[overlap.length];
    float best = 0;
    int bestX = 0;
    int bestY = 0;
    for (int dy = minY - pb.height; dy <= pa.height - minY; dy++) {
      int y0 = Math.max(0, dy);
      int y1 = Math.min(pa.height, dy + pb.height);
      between(ea, wa + 1, y0, y1, columnsA);
      between(eb, wb + 1, y0 - dy, y1 - dy, columnsB);
      unwound(z[dy & (rows - 1)], from, line);
      squares(line, overlap, columnsA, Scales.LONG + from, wb, columnsB, wa);
      for (int i = 0; i < line.length; i++) {
        if (line[i] * (y1 - y0) > best) {
          best = line[i] * (y1 - y0);
          bestX = from + i;
          bestY = dy;
        }
      }
    }
    double ra = (double) wa / a.width;
    double rb = (double) wb / b.width;
    // (xa + 1/2) ra = (xb + 1/2) rb + d, so xb = scale xa + shift
    double x = (0.5 * ra - bestX) / rb - 0.5;
    double y = (0.5 * ra - bestY) / rb - 0.5;
    return new Peak(Math.sqrt(best) / (Scales.NX * rows), ra / rb, x, y);
  }

  /** A line of a correlation, which goes round, from a displacement on. */
  private static void unwound(float[] row, int from, float[] out) {
    int left = Math.min(out.length, Math.max(0, -from));
    System.arraycopy(row, Scales.NX + from, out, 0, left);
    System.arraycopy(row, 0, out, left, out.length - left);
  }

  /** Squares of the normalised correlation of a line, negative where it is. */
  private static void squares(
      float[] line, float[] overlap, float[] a, int at, int wb, float[] b, int wa) {
    for (int i = 0; i < line.length; i++) {
      float energy = (a[at + wb + i] - a[at + i]) * (b[at + wb + i] - b[at + wb - wa + i]) + 1e-9f;
      line[i] = line[i] * Math.abs(line[i]) * overlap[i] / energy;
    }
  }

  /**
   * Sums of columns between two rows of a table of sums, cumulated from the left; before the first
   * column there is nothing, beyond the last nothing is added.
   */
  private static void between(float[] table, int w, int y0, int y1, float[] out) {
    int low = y0 * w;
    int high = y1 * w;
    for (int x = 0; x < w; x++) {
      out[Scales.LONG + x] = table[high + x] - table[low + x];
    }
    java.util.Arrays.fill(out, Scales.LONG + w, out.length, out[Scales.LONG + w - 1]);
  }
}
