package samelight.engine.likeness;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.photometry.Weighted;

/**
 * Finds one view's content in another at some scale and shift, and measures the gain between them.
 *
 * <p>Coarse: {@link CoarseSearch}. Fine: similarity transform by Gauss-Newton steps ([LUCAS81] in
 * the form of [BAKER04]). Verified: patches of 6 x 6 pixels whose textures correlate by more than
 * 0.7; the gain is the median over the agreeing patches of the difference in log2 exposure, as
 * exposure gains are taken from overlaps in panorama stitching ([BROWN07]), with a median since
 * people move.
 */
public final class Registration {
  private static final int PATCH = 6;
  private static final double PATCH_CORRELATION = 0.7;

  /**
   * What is asked of the patches of a match.
   *
   * @param agreeing least number that agree
   * @param agreement least share of the common patches that agree
   * @param spread most deviation of their gains around the median, in stops
   * @param perAgreement how much more for a share of 1
   * @param leastSpread deviation that is taken at least, in stops
   */
  private record Demand(
      int agreeing, double agreement, double spread, double perAgreement, double leastSpread) {}

  /** Gains of true matches hardly spread; the fewer patches agree, the less spread is taken. */
  private static final Demand WHOLE = new Demand(12, 0.3, 0.03, 0.1, 0);

  /**
   * Where a part agrees it may be people, who turn and bend: on generated days gains of such
   * matches err by 0.2 stop over the root of the number of patches.
   */
  private static final Demand PART = new Demand(16, 0.08, 0.08, 0, 0.1);

  private static final int PART_FIRST = 4;
  private static final int PART_AGREEING = 8;

  /**
   * Least correlation of textures before alignment and after it, at half and at full size. On
   * generated days 98 in 100 verified pairs pass, and half of the chance peaks don't.
   */
  private static final double HALF_START = 0.22;

  private static final double HALF_END = 0.3;
  private static final double FULL_START = 0.27;
  private static final double FULL_END = 0.32;

  /** Frames of one framing that didn't move correlate by more than this without a search. */
  private static final double SAME_FLOOR = 0.5;

  private Registration() {}

  /**
   * Looks for {@code second} in {@code first} or the other way round.
   *
   * @return what they share, or null if nothing can be verified
   */
  public static @Nullable SharedContent of(View first, View second) {
    SharedContent best = null;
    for (CoarseSearch.Peak p : CoarseSearch.peaks(first, second)) {
      SharedContent found = refine(first, second, p.scale(), p.x(), p.y(), HALF_START);
      if (found == null) {
        found = inPart(first, second, p);
      }
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
    SharedContent found = refine(first, second, 1, 0, 0, SAME_FLOOR);
    if (found == null) {
      CoarseSearch.Peak p = CoarseSearch.sameSize(first, second);
      if (p.x() != 0 || p.y() != 0) {
        found = refine(first, second, 1, p.x(), p.y(), HALF_START);
      }
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
    SharedContent found =
        known.scale() >= 1
            ? measure(first, second, p, WHOLE)
            : turned(measure(second, first, inverse(p), WHOLE));
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

  /** What agrees where most of two pictures may not: a place behind people, or people. */
  private static @Nullable SharedContent inPart(View a, View b, CoarseSearch.Peak at) {
    double[] p = {at.scale(), 0, at.x(), at.y()};
    return at.scale() >= 1 ? patches(a, b, p) : turned(patches(b, a, inverse(p)));
  }

  private static @Nullable SharedContent patches(View a, View b, double[] p) {
    int size = matching(Math.hypot(p[0], p[1]));
    int half = View.PER_HALF;
    if (PatchFit.improve(a, half, b, half + size, p, 2, 1) < PART_FIRST
        || PatchFit.improve(a, 0, b, size, p, 2, 1) < PART_AGREEING) {
      return null;
    }
    return measure(a, b, p, PART);
  }

  /** Aligns and measures from the view with the coarser content to the one with the finer. */
  private static @Nullable SharedContent refine(
      View a, View b, double scale, double x, double y, double floor) {
    double[] p = {scale, 0, x, y};
    return scale >= 1 ? improve(a, b, p, floor) : turned(improve(b, a, inverse(p), floor));
  }

  private static double[] inverse(double[] p) {
    double n = p[0] * p[0] + p[1] * p[1];
    double c = p[0] / n;
    double s = -p[1] / n;
    return new double[] {c, s, -(c * p[2] - s * p[3]), -(s * p[2] + c * p[3])};
  }

  private static @Nullable SharedContent turned(@Nullable SharedContent s) {
    if (s == null) {
      return null;
    }
    double[] p =
        inverse(
            new double[] {
              s.scale() * Math.cos(s.rotation()),
              s.scale() * Math.sin(s.rotation()),
              s.shiftX(),
              s.shiftY()
            });
    return new SharedContent(
        Math.hypot(p[0], p[1]),
        Math.atan2(p[1], p[0]),
        p[2],
        p[3],
        -s.gain(),
        s.gainSigma(),
        -s.redGreen(),
        -s.blueGreen(),
        s.colourSigma(),
        s.agreeing(),
        s.patches());
  }

  /** The size of the finer view at which its pixels are as large as the coarser view's. */
  private static int matching(double scale) {
    return (int)
        Math.max(0, Math.min(6, Math.round(View.PER_HALF * Math.log(scale) / Math.log(2))));
  }

  private static @Nullable SharedContent improve(View a, View b, double[] p, double floor) {
    int size = matching(Math.hypot(p[0], p[1]));
    Plane ta = a.texture(View.PER_HALF);
    Plane tb = b.texture(View.PER_HALF + size);
    if (!Aligner.align(ta, a.green, tb, b.green, p, 5, floor, HALF_END)) {
      return null;
    }
    if (!Aligner.align(
        a.texture(0), a.green, b.texture(size), b.green, p, 5, FULL_START, FULL_END)) {
      return null;
    }
    return measure(a, b, p, WHOLE);
  }

  private static @Nullable SharedContent measure(View a, View b, double[] p, Demand demand) {
    int size = matching(Math.hypot(p[0], p[1]));
    Plane ta = a.texture(0);
    Plane tb = b.texture(size);
    boolean[] va = a.valid;
    boolean[] vb = b.trustedAround(size);
    Aligner.Map map = new Aligner.Map(ta, a.green, tb, b.green, p);
    int across = a.width / PATCH;
    int down = a.height / PATCH;
    // sums over a row of patches: n, u, v, uu, vv, uv
    float[] n = new float[across];
    float[] su = new float[across];
    float[] sv = new float[across];
    float[] suu = new float[across];
    float[] svv = new float[across];
    float[] suv = new float[across];
    boolean[] agrees = new boolean[across * down];
    int patches = 0;
    int agreeing = 0;
    for (int j = 0; j < down; j++) {
      for (float[] s : new float[][] {n, su, sv, suu, svv, suv}) {
        java.util.Arrays.fill(s, 0);
      }
      for (int y = j * PATCH; y < (j + 1) * PATCH; y++) {
        map.line(y, across * PATCH);
        for (int x = map.from; x < map.to; x++) {
          float bx = (float) (map.xx * x + map.xy * y + map.x0);
          float by = (float) (map.yx * x + map.yy * y + map.y0);
          int ix = (int) bx;
          int iy = (int) by;
          int ib = iy * tb.width + ix;
          if (!va[y * a.width + x] || !vb[ib]) {
            continue;
          }
          float u = ta.v[y * a.width + x];
          float v = tb.between(ib, bx - ix, by - iy);
          int i = x / PATCH;
          n[i]++;
          su[i] += u;
          sv[i] += v;
          suu[i] += u * u;
          svv[i] += v * v;
          suv[i] += u * v;
        }
      }
      for (int i = 0; i < across; i++) {
        if (n[i] < PATCH * PATCH * 0.8) {
          continue;
        }
        patches++;
        double vu = suu[i] - su[i] * su[i] / n[i];
        double vv = svv[i] - sv[i] * sv[i] / n[i];
        double r = (suv[i] - su[i] * sv[i] / n[i]) / Math.sqrt(Math.max(vu * vv, 1e-9));
        if (r > PATCH_CORRELATION && vu > 0.02 * n[i] && vv > 0.02 * n[i]) {
          agrees[j * across + i] = true;
          agreeing++;
        }
      }
    }
    if (agreeing < demand.agreeing() || agreeing < demand.agreement() * patches) {
      return null;
    }
    return gains(a, b, size, map, p, agrees, agreeing, patches, demand);
  }

  /** Medians over the agreeing patches. */
  private static @Nullable SharedContent gains(
      View a,
      View b,
      int size,
      Aligner.Map map,
      double[] p,
      boolean[] agrees,
      int agreeing,
      int patches,
      Demand demand) {
    Plane[] ea = a.colour(0);
    Plane[] eb = b.colour(size);
    boolean[] va = a.valid;
    boolean[] vb = b.trustedAround(size);
    int across = a.width / PATCH;
    int bw = eb[0].width;
    double[] gain = new double[agreeing];
    double[] red = new double[agreeing];
    double[] blue = new double[agreeing];
    int k = 0;
    for (int i = 0; i < agrees.length; i++) {
      if (!agrees[i]) {
        continue;
      }
      int px = i % across * PATCH;
      int py = i / across * PATCH;
      int n = 0;
      double green = 0;
      double r = 0;
      double bl = 0;
      for (int y = py; y < py + PATCH; y++) {
        map.line(y, a.width);
        for (int x = Math.max(px, map.from); x < Math.min(px + PATCH, map.to); x++) {
          float bx = (float) (map.xx * x + map.xy * y + map.x0);
          float by = (float) (map.yx * x + map.yy * y + map.y0);
          int ix = (int) bx;
          int iy = (int) by;
          int ia = y * a.width + x;
          int ib = iy * bw + ix;
          if (!va[ia] || !vb[ib]) {
            continue;
          }
          green += eb[0].between(ib, bx - ix, by - iy) - ea[0].v[ia];
          r += eb[1].between(ib, bx - ix, by - iy) - ea[1].v[ia];
          bl += eb[2].between(ib, bx - ix, by - iy) - ea[2].v[ia];
          n++;
        }
      }
      gain[k] = green / n;
      red[k] = (r - green) / n;
      blue[k] = (bl - green) / n;
      k++;
    }
    double g = Weighted.median(gain);
    double spread = Weighted.deviation(gain, g);
    if (spread > demand.spread() + demand.perAgreement() * agreeing / patches) {
      return null;
    }
    double r = Weighted.median(red);
    double bl = Weighted.median(blue);
    double colourSpread = Math.max(Weighted.deviation(red, r), Weighted.deviation(blue, bl));
    double sigma = SharedContent.medianSigma(Math.max(spread, demand.leastSpread()), agreeing);
    double colourSigma = SharedContent.medianSigma(colourSpread, agreeing);
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
}
