package samelight.engine.likeness;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.photometry.Weighted;

/**
 * Finds one view's content in another at some scale and shift, and measures the gain between them.
 *
 * <p>Coarse: normalised cross-correlation of locally normalised texture over a ladder of scales (by
 * Fourier transform, after [LEWIS95]). Fine: similarity transform by Gauss-Newton steps ([LUCAS81]
 * in the form of [BAKER04]). Verified: patches of 6 x 6 pixels whose textures correlate by more
 * than 0.7; the gain is the median over the agreeing patches of the difference in log2 exposure, as
 * exposure gains are taken from overlaps in panorama stitching ([BROWN07]), with a median since
 * people move.
 */
public final class Registration {
  private static final int PATCH = 6;
  private static final double PATCH_CORRELATION = 0.7;
  private static final int MIN_AGREEING = 12;
  private static final double MIN_AGREEMENT = 0.3;

  /** Gains of true matches hardly spread; the fewer patches agree, the less spread is taken. */
  private static final double MAX_SPREAD = 0.03;

  private static final double SPREAD_PER_AGREEMENT = 0.1;

  /** Peaks of the coarse search below this many standard deviations of chance aren't followed. */
  private static final double MIN_PEAK = 5.7;

  private static final int PEAKS = 3;

  private Registration() {}

  private record Peak(double z, double scale, double x, double y) {}

  /**
   * Looks for {@code second} in {@code first} or the other way round.
   *
   * @return what they share, or null if nothing can be verified
   */
  public static @Nullable SharedContent of(View first, View second) {
    SharedContent best = null;
    for (Peak p : peaks(first, second)) {
      SharedContent found = refine(first, second, p.scale(), p.x(), p.y());
      if (found != null && (best == null || found.agreeing() > best.agreeing())) {
        best = found;
      }
      if (best != null && best.agreement() > 0.4) {
        break;
      }
    }
    return best;
  }

  /**
   * The same at nearly the same crop, as within a burst.
   *
   * @return what they share, or null if they aren't the same framing
   */
  public static @Nullable SharedContent sameFraming(View first, View second) {
    if (first.width != second.width || first.height != second.height) {
      return null;
    }
    List<Peak> nearest = new ArrayList<>();
    pair(first, 0, 0, second, 0, 0, nearest);
    Peak p = nearest.get(0);
    SharedContent found = refine(first, second, 1, p.x(), p.y());
    if (found == null && (p.x() != 0 || p.y() != 0)) {
      found = refine(first, second, 1, 0, 0);
    }
    if (found == null
        || Math.abs(Math.log(found.scale())) > 0.12
        || Math.abs(found.shiftX()) > 0.3 * first.width
        || Math.abs(found.shiftY()) > 0.3 * first.height) {
      return null;
    }
    return found;
  }

  /**
   * Measures again at a known transform, as after the response of a body has been learned.
   *
   * @param known an earlier result for the same two pictures
   * @return the new result, or the known one where the new can't be verified
   */
  public static SharedContent again(View first, View second, SharedContent known) {
    double[] p = {
      known.scale() * Math.cos(known.rotation()),
      known.scale() * Math.sin(known.rotation()),
      known.shiftX(),
      known.shiftY()
    };
    SharedContent found = finish(first, second, p, false);
    return found == null ? known : found;
  }

  /**
   * Pairs of levels of the patches that two views share, for learning a response: views must have
   * been made with {@link samelight.engine.photometry.BodyResponse#SRGB}.
   *
   * @return rows of {level in the first, level in the second}, log2 linear green
   */
  public static List<double[]> levels(View first, View second, SharedContent shared) {
    double a = shared.scale() * Math.cos(shared.rotation());
    double b = shared.scale() * Math.sin(shared.rotation());
    List<double[]> rows = new ArrayList<>();
    int step = 4;
    for (int py = 0; py + step <= first.height; py += step) {
      for (int px = 0; px + step <= first.width; px += step) {
        double u = 0;
        double v = 0;
        double uu = 0;
        int n = 0;
        for (int y = py; y < py + step; y++) {
          for (int x = px; x < px + step; x++) {
            int bx = (int) Math.round(a * x - b * y + shared.shiftX());
            int by = (int) Math.round(b * x + a * y + shared.shiftY());
            if (bx >= 0 && by >= 0 && bx < second.width && by < second.height) {
              float g = first.green.v[y * first.width + x];
              u += g;
              uu += g * g;
              v += second.green.v[by * second.width + bx];
              n++;
            }
          }
        }
        if (n == step * step && uu / n - (u / n) * (u / n) < 0.1) {
          rows.add(new double[] {u / n, v / n});
        }
      }
    }
    return rows;
  }

  private static List<Peak> peaks(View a, View b) {
    List<Peak> all = new ArrayList<>();
    for (int k = 0; k < Scales.LEVELS; k++) {
      // b smaller in a, and a smaller in b, by one inverse transform
      pair(a, 0, k, b, k, 0, all);
    }
    all.sort(Comparator.comparingDouble((Peak p) -> -p.z()));
    List<Peak> best = new ArrayList<>();
    for (Peak p : all) {
      if (p.z() < MIN_PEAK || best.size() == PEAKS) {
        break;
      }
      if (best.stream().noneMatch(q -> near(p, q, a))) {
        best.add(p);
      }
    }
    return best;
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
    int rows = Scales.rows(sa, sb);
    float[] p = sa.spectrum(ka, rows);
    float[] q = sb.spectrum(kb, rows);
    float[] z = new float[p.length];
    boolean both = ka != ka2 || kb != kb2;
    if (both) {
      float[] r = sa.spectrum(ka2, rows);
      float[] t = sb.spectrum(kb2, rows);
      for (int i = 0; i < z.length; i += 2) {
        float re = p[i] * q[i] + p[i + 1] * q[i + 1];
        float im = p[i + 1] * q[i] - p[i] * q[i + 1];
        float re2 = r[i] * t[i] + r[i + 1] * t[i + 1];
        float im2 = r[i + 1] * t[i] - r[i] * t[i + 1];
        // both correlations are real: the second rides in the imaginary part
        z[i] = re - im2;
        z[i + 1] = im + re2;
      }
    } else {
      for (int i = 0; i < z.length; i += 2) {
        z[i] = p[i] * q[i] + p[i + 1] * q[i + 1];
        z[i + 1] = p[i + 1] * q[i] - p[i] * q[i + 1];
      }
    }
    Scales.fourier(rows).inverse(z);
    out.add(peakOf(z, 0, rows, a, ka, b, kb));
    if (both) {
      out.add(peakOf(z, 1, rows, a, ka2, b, kb2));
    }
  }

  private static Peak peakOf(float[] z, int part, int rows, View a, int ka, View b, int kb) {
    Plane pa = a.scales().level(ka);
    Plane pb = b.scales().level(kb);
    double[] ea = a.scales().energy(ka);
    double[] eb = b.scales().energy(kb);
    int nx = Scales.NX;
    double norm = 1.0 / (nx * rows);
    int minX = Math.max(4, Math.min(pa.width, pb.width) / 2);
    int minY = Math.max(4, Math.min(pa.height, pb.height) / 2);
    double best = -1;
    int bestX = 0;
    int bestY = 0;
    for (int dy = minY - pb.height; dy <= pa.height - minY; dy++) {
      int y0 = Math.max(0, dy);
      int y1 = Math.min(pa.height, dy + pb.height);
      int row = (dy & (rows - 1)) * nx;
      for (int dx = minX - pb.width; dx <= pa.width - minX; dx++) {
        double cross = z[(row + (dx & (nx - 1))) * 2 + part] * norm;
        if (cross <= 0) {
          continue;
        }
        int x0 = Math.max(0, dx);
        int x1 = Math.min(pa.width, dx + pb.width);
        double qa = Scales.sum(ea, pa.width + 1, x0, y0, x1, y1);
        double qb = Scales.sum(eb, pb.width + 1, x0 - dx, y0 - dy, x1 - dx, y1 - dy);
        double overlap = (double) (x1 - x0) * (y1 - y0);
        double score = cross * cross / Math.max(qa * qb, 1e-9) * overlap;
        if (score > best) {
          best = score;
          bestX = dx;
          bestY = dy;
        }
      }
    }
    double ra = (double) pa.width / a.width;
    double rb = (double) pb.width / b.width;
    // (xa + 1/2) ra = (xb + 1/2) rb + d, so xb = scale xa + shift
    double x = (0.5 * ra - bestX) / rb - 0.5;
    double y = (0.5 * ra - bestY) / rb - 0.5;
    return new Peak(Math.sqrt(Math.max(0, best)), ra / rb, x, y);
  }

  private static @Nullable SharedContent refine(View a, View b, double scale, double x, double y) {
    double[] p = {scale, 0, x, y};
    // at half size: xh = (x - 1/2) / 2
    double[] h = {scale, 0, (x + 0.5 * scale - 0.5) / 2, (y + 0.5 * scale - 0.5) / 2};
    if (!Aligner.align(a.half(), b.half(), h, 8, 0.15)) {
      return null;
    }
    p[0] = h[0];
    p[1] = h[1];
    p[2] = 2 * h[2] + 0.5 - 0.5 * (h[0] - h[1]);
    p[3] = 2 * h[3] + 0.5 - 0.5 * (h[0] + h[1]);
    return finish(a, b, p, true);
  }

  private static @Nullable SharedContent finish(View a, View b, double[] p, boolean align) {
    double ratio = Math.hypot(p[0], p[1]);
    double blurA = ratio < 1 ? 0.45 * Math.sqrt(1 / (ratio * ratio) - 1) : 0;
    double blurB = ratio > 1 ? 0.45 * Math.sqrt(ratio * ratio - 1) : 0;
    Plane ta = blurA < 0.15 ? a.fine() : a.green.gaussian(blurA).localContrast(3, 4, 0.12f);
    Plane tb = blurB < 0.15 ? b.fine() : b.green.gaussian(blurB).localContrast(3, 4, 0.12f);
    if (align && !Aligner.align(ta, tb, p, 6, 0.2)) {
      return null;
    }
    return measure(a, b, ta, tb, p, blurA, blurB);
  }

  private static @Nullable SharedContent measure(
      View a, View b, Plane ta, Plane tb, double[] p, double blurA, double blurB) {
    Plane[] ea = {a.green.gaussian(blurA), a.red.gaussian(blurA), a.blue.gaussian(blurA)};
    Plane[] eb = {b.green.gaussian(blurB), b.red.gaussian(blurB), b.blue.gaussian(blurB)};
    int most = (a.width / PATCH) * (a.height / PATCH);
    double[] gain = new double[most];
    double[] red = new double[most];
    double[] blue = new double[most];
    int patches = 0;
    int agreeing = 0;
    double[] mean = new double[3];
    for (int py = 0; py + PATCH <= a.height; py += PATCH) {
      for (int px = 0; px + PATCH <= a.width; px += PATCH) {
        int n = 0;
        double su = 0;
        double sv = 0;
        double suu = 0;
        double svv = 0;
        double suv = 0;
        mean[0] = 0;
        mean[1] = 0;
        mean[2] = 0;
        for (int y = py; y < py + PATCH; y++) {
          for (int x = px; x < px + PATCH; x++) {
            double bx = p[0] * x - p[1] * y + p[2];
            double by = p[1] * x + p[0] * y + p[3];
            int ix = (int) Math.floor(bx);
            int iy = (int) Math.floor(by);
            if (ix < 0 || iy < 0 || ix >= b.width - 1 || iy >= b.height - 1) {
              continue;
            }
            int ia = y * a.width + x;
            int ib = iy * b.width + ix;
            if (!a.valid[ia]
                || !b.valid[ib]
                || !b.valid[ib + 1]
                || !b.valid[ib + b.width]
                || !b.valid[ib + b.width + 1]) {
              continue;
            }
            float fx = (float) (bx - ix);
            float fy = (float) (by - iy);
            double u = ta.v[ia];
            double v = bilinear(tb, ib, fx, fy);
            su += u;
            sv += v;
            suu += u * u;
            svv += v * v;
            suv += u * v;
            for (int c = 0; c < 3; c++) {
              mean[c] += bilinear(eb[c], ib, fx, fy) - ea[c].v[ia];
            }
            n++;
          }
        }
        if (n < PATCH * PATCH * 0.8) {
          continue;
        }
        patches++;
        double vu = suu - su * su / n;
        double vv = svv - sv * sv / n;
        double r = (suv - su * sv / n) / Math.sqrt(Math.max(vu * vv, 1e-9));
        if (r > PATCH_CORRELATION && vu > 0.02 * n && vv > 0.02 * n) {
          gain[agreeing] = mean[0] / n;
          red[agreeing] = (mean[1] - mean[0]) / n;
          blue[agreeing] = (mean[2] - mean[0]) / n;
          agreeing++;
        }
      }
    }
    if (agreeing < MIN_AGREEING || agreeing < MIN_AGREEMENT * patches) {
      return null;
    }
    gain = java.util.Arrays.copyOf(gain, agreeing);
    red = java.util.Arrays.copyOf(red, agreeing);
    blue = java.util.Arrays.copyOf(blue, agreeing);
    double g = Weighted.median(gain);
    double spread = Weighted.deviation(gain, g);
    if (spread > MAX_SPREAD + SPREAD_PER_AGREEMENT * agreeing / patches) {
      return null;
    }
    double r = Weighted.median(red);
    double bl = Weighted.median(blue);
    double colourSpread = Math.max(Weighted.deviation(red, r), Weighted.deviation(blue, bl));
    // neighbouring patches err together: a quarter of them counts
    double independent = Math.max(1, agreeing / 4.0);
    double sigma = Math.hypot(0.012, spread / Math.sqrt(independent));
    double colourSigma = Math.hypot(0.012, colourSpread / Math.sqrt(independent));
    return new SharedContent(
        Math.hypot(p[0], p[1]),
        Math.atan2(p[1], p[0]),
        p[2],
        p[3],
        g,
        sigma,
        r,
        bl,
        colourSigma,
        agreeing,
        patches);
  }

  private static float bilinear(Plane p, int i, float fx, float fy) {
    float[] v = p.v;
    int w = p.width;
    float top = v[i] + fx * (v[i + 1] - v[i]);
    float low = v[i + w] + fx * (v[i + w + 1] - v[i + w]);
    return top + fy * (low - top);
  }
}
