package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import samelight.engine.colour.WhiteRatios;
import samelight.engine.colour.WhiteTemperature;
import samelight.engine.frame.WhitePoint;
import samelight.engine.likeness.Look;
import samelight.engine.likeness.ViewFacts;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.photometry.Weighted;
import samelight.engine.quantity.Duv;
import samelight.engine.timeline.TimedFrame;

/**
 * The light of all framings, solved from what they share.
 *
 * <p>Unknown for each framing k is its rendered exposure R<sub>k</sub>, and l<sub>k</sub> =
 * R<sub>k</sub> + EV<sub>k</sub> is the light of its scene. A link between i and j with gain g says
 * R<sub>j</sub> - R<sub>i</sub> = g. All links of a place are solved in one weighted least-squares
 * system (as exposure gains are in panorama stitching, [BROWN07]), with Student-t weights (four
 * degrees of freedom), so that one wrong link doesn't bend the rest. The inverse of the normal
 * matrix gives the uncertainty of each difference. Where the light of several framings then agrees,
 * it was steady, and the settings, which are exact, give their differences.
 */
final class LightModel {
  /**
   * Between two bodies the offset of their tone curves can't be told from that of their
   * sensitivity, in stops.
   */
  private static final double BODY_SIGMA = 0.055;

  /** Error of a flash frame against another of its framing, and across framings, in stops. */
  private static final double FLASH_IN_FRAMING = 0.02;

  private static final double FLASH_ACROSS = 0.04;

  /** Metered flash differs by this from one framing to another, mostly, in stops. */
  private static final double FLASH_WANDER = 0.35;

  /** More than this isn't told from a flash that gave nothing, in stops. */
  private static final double MOST_FLASH_CHANGE = 2;

  /**
   * Part of a difference of measured light that is kept as doubt where light is taken as steady: at
   * most w (1 - w) of it is variance (see {@link Steadiness}).
   */
  private static final double KEPT_DOUBT = 0.25;

  /** Tones of skin in one party differ by less, mostly, in stops (common practice, no source). */
  private static final double FACES = 1.0;

  /** Most framings of a place that are solved together; a longer stay is cut in time. */
  private static final int LARGEST_SYSTEM = 250;

  /** Light changes little in this time, mostly, in seconds. */
  private static final double AT_ONCE = 300;

  /** Light within this of a steady stretch belongs to it, in stops. */
  private static final double STEADY = 0.035;

  final List<TimedFrame> frames;
  final List<Framing> framings;
  private final Map<String, BodyResponse> responses;
  private final Repeatability repeatability;
  private final boolean[] acts;
  private final LensLoss lenses;
  final int[] framingOf;
  final int[] memberOf;

  /** Place of each framing, numbered in the order of the day. */
  final int[] place;

  final List<List<Integer>> places = new ArrayList<>();
  final double[] rendering;

  /** {@code rendering} before steady light was recognised. */
  private final double[] measured;

  final double[] redGreen;
  final double[] blueGreen;
  private final int[] slot;
  private final List<double[][]> covariance = new ArrayList<>();
  private final List<List<LightLink>> linksOf = new ArrayList<>();
  private final int[] stretch;

  /** Mean square of the measured light of a framing's stretch around its mean, in stops squared. */
  private final double[] wander;

  private double unit = 1;
  private double spread = 1;
  final double[] brightness;
  private final double[] meanRedGreen;
  private final double[] meanBlueGreen;
  private final double[] clipped;
  private final double[] middle;
  private final double[] skin;

  LightModel(
      List<TimedFrame> frames,
      FramingFinder.Found found,
      List<LightLink> links,
      Views views,
      LensLoss lenses) {
    this.lenses = lenses;
    this.frames = frames;
    this.responses = found.responses();
    this.framings = found.framings();
    this.repeatability = found.repeatability();
    this.acts = FlashActing.of(frames, framings);
    int n = framings.size();
    framingOf = new int[frames.size()];
    memberOf = new int[frames.size()];
    for (int k = 0; k < n; k++) {
      List<Integer> members = framings.get(k).members();
      for (int i = 0; i < members.size(); i++) {
        framingOf[members.get(i)] = k;
        memberOf[members.get(i)] = i;
      }
    }
    place = new int[n];
    slot = new int[n];
    stretch = new int[n];
    wander = new double[n];
    rendering = new double[n];
    redGreen = new double[n];
    blueGreen = new double[n];
    brightness = new double[n];
    meanRedGreen = new double[n];
    meanBlueGreen = new double[n];
    clipped = new double[n];
    middle = new double[n];
    skin = new double[n];
    for (int k = 0; k < n; k++) {
      Look look = views.of(framings.get(k).base());
      ViewFacts v = look == null ? null : look.facts();
      brightness[k] = v == null ? Double.NaN : v.brightness();
      meanRedGreen[k] = v == null ? 0 : v.redGreen();
      meanBlueGreen[k] = v == null ? 0 : v.blueGreen();
      clipped[k] = v == null ? 0 : v.clipped();
      middle[k] = v == null ? 0 : v.middle();
      skin[k] = v == null ? Double.NaN : v.skin();
    }
    findPlaces(links);
    int stretches = 0;
    for (int p = 0; p < places.size(); p++) {
      solve(p);
    }
    unit = unitWeight();
    measured = rendering.clone();
    spread = steadySpread();
    for (int p = 0; p < places.size(); p++) {
      stretches = steady(p, stretches);
    }
  }

  /**
   * Standard deviation of unit weight a posteriori, robust: by how much links contradict each other
   * more or less than they were said to. With few contradictions possible it stays near 1.
   */
  private double unitWeight() {
    List<Double> residuals = new ArrayList<>();
    int free = 0;
    for (int p = 0; p < places.size(); p++) {
      List<LightLink> links = linksOf.get(p);
      int redundant = links.size() - places.get(p).size() + 1;
      if (redundant < 1) {
        continue;
      }
      free += redundant;
      for (LightLink l : links) {
        double r = rendering[l.to()] - rendering[l.from()] - l.shared().gain();
        residuals.add(Math.abs(r) / sigma(l));
      }
    }
    if (residuals.isEmpty()) {
      return 1;
    }
    double[] r = residuals.stream().mapToDouble(Double::doubleValue).toArray();
    double s = Weighted.deviation(r, 0) * Math.sqrt((double) r.length / free);
    double prior = 20;
    return Math.max(0.3, Math.min(3, Math.sqrt((prior + free * square(s)) / (prior + free))));
  }

  /** Links without flash between framings of one body that follow each other at once. */
  private List<LightLink> atOnce() {
    List<LightLink> out = new ArrayList<>();
    for (List<LightLink> links : linksOf) {
      for (LightLink l : links) {
        int k = l.from();
        int m = l.to();
        if (sameBody(k, m)
            && !flash(framings.get(k).base())
            && !flash(framings.get(m).base())
            && base(m).seconds() - base(k).seconds() <= AT_ONCE
            && !Double.isNaN(measuredLight(m) - measuredLight(k))) {
          out.add(l);
        }
      }
    }
    return out;
  }

  /** What light, by pictures and settings, changed between framings that follow at once. */
  List<LensLoss.Step> stepsAtOnce() {
    return atOnce().stream()
        .map(
            l ->
                new LensLoss.Step(
                    base(l.from()), base(l.to()), measuredLight(l.to()) - measuredLight(l.from())))
        .toList();
  }

  /** One standard deviation of what the lenses of two frames pass differently, in stops. */
  double lensSigma(int f, int g) {
    return lenses.sigma(frames.get(f), frames.get(g));
  }

  /** Measured differences of framings that follow each other, against what they may err. */
  private double steadySpread() {
    return SteadySpread.of(
        atOnce().stream()
            .mapToDouble(
                l -> {
                  int k = l.from();
                  int m = l.to();
                  return (measuredLight(m) - measuredLight(k))
                      / Math.sqrt(linkVariance(k, m, measured[m] - measured[k]));
                })
            .toArray());
  }

  private double measuredLight(int k) {
    return measured[k] + base(k).ev();
  }

  private void findPlaces(List<LightLink> links) {
    int n = framings.size();
    int[] parent = new int[n];
    Arrays.setAll(parent, i -> i);
    int[] size = new int[n];
    Arrays.fill(size, 1);
    List<LightLink> used = new ArrayList<>();
    for (LightLink l : links) {
      int a = root(parent, l.from());
      int b = root(parent, l.to());
      if (a != b) {
        if (size[a] + size[b] > LARGEST_SYSTEM) {
          continue;
        }
        parent[Math.max(a, b)] = Math.min(a, b);
        size[Math.min(a, b)] = size[a] + size[b];
      }
      used.add(l);
    }
    int[] number = new int[n];
    Arrays.fill(number, -1);
    for (int k = 0; k < n; k++) {
      int r = root(parent, k);
      if (number[r] < 0) {
        number[r] = places.size();
        places.add(new ArrayList<>());
        linksOf.add(new ArrayList<>());
      }
      place[k] = number[r];
      slot[k] = places.get(number[r]).size();
      places.get(number[r]).add(k);
    }
    for (LightLink l : used) {
      if (place[l.from()] == place[l.to()]) {
        linksOf.get(place[l.from()]).add(l);
      }
    }
  }

  private static int root(int[] parent, int k) {
    int r = k;
    while (parent[r] != r) {
      parent[r] = parent[parent[r]];
      r = parent[r];
    }
    return r;
  }

  private void solve(int p) {
    List<Integer> members = places.get(p);
    List<LightLink> links = linksOf.get(p);
    int n = members.size();
    double[] x = new double[n];
    double[] rg = new double[n];
    double[] bg = new double[n];
    double[][] inverse = new double[n][n];
    double[] trust = new double[links.size()];
    Arrays.fill(trust, 1);
    for (int round = 0; round < (n > 2 ? 4 : 1); round++) {
      double[][] a = new double[n][n];
      double[] bx = new double[n];
      double[] br = new double[n];
      double[] bb = new double[n];
      a[0][0] = 1;
      for (int i = 0; i < n; i++) {
        a[i][i] += 1e-6;
      }
      for (int e = 0; e < links.size(); e++) {
        LightLink l = links.get(e);
        int i = slot[l.from()];
        int j = slot[l.to()];
        double w = trust[e] / square(sigma(l));
        a[i][i] += w;
        a[j][j] += w;
        a[i][j] -= w;
        a[j][i] -= w;
        bx[j] += w * l.shared().gain();
        bx[i] -= w * l.shared().gain();
        br[j] += w * l.shared().redGreen();
        br[i] -= w * l.shared().redGreen();
        bb[j] += w * l.shared().blueGreen();
        bb[i] -= w * l.shared().blueGreen();
      }
      RealMatrix inv =
          new CholeskyDecomposition(new Array2DRowRealMatrix(a, false)).getSolver().getInverse();
      inverse = inv.getData();
      x = inv.operate(bx);
      rg = inv.operate(br);
      bg = inv.operate(bb);
      for (int e = 0; e < links.size(); e++) {
        LightLink l = links.get(e);
        double r = (x[slot[l.to()]] - x[slot[l.from()]] - l.shared().gain()) / sigma(l);
        trust[e] = 5 / (4 + r * r);
      }
    }
    covariance.add(inverse);
    for (int i = 0; i < n; i++) {
      rendering[members.get(i)] = x[i];
      redGreen[members.get(i)] = rg[i];
      blueGreen[members.get(i)] = bg[i];
    }
  }

  private double sigma(LightLink l) {
    return Math.max(0.02, l.shared().gainSigma());
  }

  /** Whether a flash lit a frame, whatever its camera says; see {@link FlashActing}. */
  boolean flash(int f) {
    return acts[f];
  }

  boolean sameBody(int k, int m) {
    return body(k).equals(body(m));
  }

  String body(int k) {
    return base(k).frame().body().id();
  }

  TimedFrame base(int k) {
    return frames.get(framings.get(k).base());
  }

  /** Light of a framing's scene by what its place shares, in stops relative to the place. */
  double light(int k) {
    return rendering[k] + base(k).ev();
  }

  /** Light of a frame's scene by what its place shares, in stops relative to the place. */
  double lightOf(int f) {
    return rendering(f) + frames.get(f).ev();
  }

  /** Scene light of a frame by brightness and settings, in EV100, or NaN where unknown. */
  double sceneLight(int f) {
    int k = framingOf[f];
    return impliedLight(k) + lightOf(f) - light(k);
  }

  /** Scene light of a framing by brightness and settings: content errs by half a stop. */
  double impliedLight(int k) {
    return brightness[k] - Math.log(0.18) / Math.log(2) + base(k).ev();
  }

  /** Share of clipped pixels of a frame's framing, moved by the frame's own exposure. */
  double clipped(int f) {
    return clipped[framingOf[f]];
  }

  /** By how much the middle of a frame's framing is brighter than what surrounds it, in stops. */
  double middle(int f) {
    return middle[framingOf[f]];
  }

  /**
   * By how much more light, against their background, people have in one framing than in another of
   * the same place, in stops; NaN where no skin is seen or the places aren't the same.
   */
  double faces(int k, int m) {
    return place[k] == place[m] ? skin[k] - rendering[k] - skin[m] + rendering[m] : Double.NaN;
  }

  /** Whether people in two framings of a place clearly have different shares of its light. */
  boolean facesDiffer(int k, int m) {
    return Math.abs(faces(k, m)) > FACES;
  }

  /** How far the mean colours of two frames' light are apart, in stops; 0 where not comparable. */
  double colourDistance(int f, int g) {
    if (!basis(f).equals(basis(g))) {
      return 0;
    }
    int k = framingOf[f];
    int m = framingOf[g];
    WhiteRatios a = colour(f);
    WhiteRatios b = colour(g);
    return Math.hypot(
        a.redGreen() - redGreen[k] + meanRedGreen[k] - b.redGreen() + redGreen[m] - meanRedGreen[m],
        a.blueGreen()
            - blueGreen[k]
            + meanBlueGreen[k]
            - b.blueGreen()
            + blueGreen[m]
            - meanBlueGreen[m]);
  }

  /** Framings that a framing was compared with and found alike. */
  List<Integer> witnesses(int k) {
    List<Integer> out = new ArrayList<>();
    for (LightLink l : linksOf.get(place[k])) {
      if (l.from() == k) {
        out.add(l.to());
      } else if (l.to() == k) {
        out.add(l.from());
      }
    }
    return out;
  }

  /** Finds steady stretches of a place and lets the settings speak inside them. */
  private int steady(int p, int first) {
    int next = first;
    List<double[]> open = new ArrayList<>(); // {number, sum of light, count, sum of rendering}
    List<String> bodies = new ArrayList<>();
    for (int k : places.get(p)) {
      stretch[k] = -1;
      if (flash(framings.get(k).base()) || Double.isNaN(light(k))) {
        stretch[k] = next++;
        continue;
      }
      int best = -1;
      double least = 1;
      for (int s = 0; s < open.size(); s++) {
        double[] sum = open.get(s);
        double error = slopeSigma(k) * (rendering[k] - sum[3] / sum[2]);
        double d = Math.abs(light(k) - sum[1] / sum[2]) / Math.hypot(STEADY, error);
        if (bodies.get(s).equals(body(k)) && d <= least) {
          least = d;
          best = s;
        }
      }
      if (best < 0) {
        best = open.size();
        open.add(new double[] {next++, 0, 0, 0});
        bodies.add(body(k));
      }
      stretch[k] = (int) open.get(best)[0];
      open.get(best)[1] += light(k);
      open.get(best)[2]++;
      open.get(best)[3] += rendering[k];
    }
    for (double[] s : open) {
      double light = s[1] / s[2];
      double squares = 0;
      for (int k : places.get(p)) {
        if (stretch[k] == (int) s[0]) {
          squares += square(light(k) - light);
        }
      }
      for (int k : places.get(p)) {
        if (stretch[k] == (int) s[0]) {
          rendering[k] = light - base(k).ev();
          wander[k] = squares / s[2];
        }
      }
    }
    return next;
  }

  /** Rendered exposure of a frame relative to its place, in stops. */
  double rendering(int f) {
    int k = framingOf[f];
    return rendering[k] + framings.get(k).gain()[memberOf[f]];
  }

  /**
   * One standard deviation of the difference of two frames' rendered exposures; 0 of a frame
   * against itself, and 1 where nothing is shared.
   */
  double sigma(int f, int g) {
    if (f == g) {
      return 0;
    }
    int k = framingOf[f];
    int m = framingOf[g];
    if (place[k] != place[m]) {
      return 1;
    }
    double v = square(flashSigma(f, g));
    if (k == m) {
      return Math.sqrt(v + withinFraming(f, g));
    }
    v += withinFraming(f, framings.get(k).base()) + withinFraming(g, framings.get(m).base());
    return Math.sqrt(v + acrossFramings(k, m, rendering(f) - rendering(g)));
  }

  /** Variance of a difference inside a framing: of the settings, or of the pictures. */
  private double withinFraming(int f, int g) {
    if (f == g) {
      return 0;
    }
    double v = square(repeatability.settings());
    if (!settled(f, g)) {
      v += square(patchSigma(f)) + square(patchSigma(g));
      v += square(slopeSigma(framingOf[f]) * (rendering(f) - rendering(g)));
    }
    return v;
  }

  /** Variance of the difference of two framings of a place that render this many stops apart. */
  private double acrossFramings(int k, int m, double apart) {
    double v = linkVariance(k, m, apart) * square(spread);
    if (stretch[k] == stretch[m]) {
      double lens = square(lensSigma(framings.get(k).base(), framings.get(m).base()));
      double seen = square(measuredLight(k) - measuredLight(m)) + 2 * wander[k];
      return Math.min(v, lens + square(repeatability.settings()) + KEPT_DOUBT * seen);
    }
    return sameBody(k, m) ? v : v + square(BODY_SIGMA);
  }

  /** One standard deviation of what the links between two framings of a place err, in stops. */
  double linkSigma(int k, int m) {
    return Math.sqrt(linkVariance(k, m, 0)) * spread;
  }

  /** What links and their body's response were said to err. */
  private double linkVariance(int k, int m, double apart) {
    double[][] c = covariance.get(place[k]);
    double v = c[slot[k]][slot[k]] + c[slot[m]][slot[m]] - 2 * c[slot[k]][slot[m]];
    return Math.max(0, v) * square(unit)
        + square(repeatability.settings())
        + square(slopeSigma(k) * apart);
  }

  /** Relative error of a measured gain from the body's response; less once it has been learned. */
  private double slopeSigma(int k) {
    return responses.getOrDefault(body(k), BodyResponse.SRGB).slopeSigma();
  }

  /**
   * With flash, what is near and what is far get different shares of it: the background says how
   * the flash changed, but not by how much on the people in front.
   */
  private double flashSigma(int f, int g) {
    TimedFrame a = frames.get(f);
    TimedFrame b = frames.get(g);
    if (!flash(f) && !flash(g)) {
      return 0;
    }
    double settings = b.ev() - a.ev();
    double change = rendering(f) - rendering(g) - (Double.isNaN(settings) ? 0 : settings);
    double unequal = repeatability.flash() * Math.min(MOST_FLASH_CHANGE, Math.abs(change));
    if (framingOf[f] == framingOf[g]) {
      return Math.hypot(FLASH_IN_FRAMING, unequal);
    }
    return Math.hypot(Math.hypot(FLASH_ACROSS, repeatability.flash() * FLASH_WANDER), unequal);
  }

  private double patchSigma(int f) {
    return framings.get(framingOf[f]).gainSigma()[memberOf[f]];
  }

  /** What a light colour is relative to; only colours of one basis may be compared. */
  String basis(int f) {
    var frame = frames.get(f).frame();
    if (frame.jpeg()) {
      return "as rendered";
    }
    WhitePoint point = frame.whiteBalance().point();
    return point.kelvin() != null
        ? "kelvin"
        : point.neutral() != null ? "neutral of " + frame.body().id() : "as rendered";
  }

  /** Light colour of a frame relative to its place: balanced white, if known, plus cast. */
  WhiteRatios colour(int f) {
    int k = framingOf[f];
    Framing framing = framings.get(k);
    int i = memberOf[f];
    double rg = redGreen[k] + framing.redGreen()[i];
    double bg = blueGreen[k] + framing.blueGreen()[i];
    var frame = frames.get(f).frame();
    if (frame.jpeg()) {
      return new WhiteRatios(rg, bg);
    }
    WhitePoint point = frame.whiteBalance().point();
    var kelvin = point.kelvin();
    if (kelvin != null) {
      var duv = point.duv();
      return WhiteRatios.of(new WhiteTemperature(kelvin, duv == null ? Duv.ZERO : duv))
          .plus(rg, bg);
    }
    var neutral = point.neutral();
    if (neutral != null) {
      return new WhiteRatios(
          Math.log(neutral.red()) / Math.log(2) + rg, Math.log(neutral.blue()) / Math.log(2) + bg);
    }
    return new WhiteRatios(rg, bg);
  }

  /** Whether the difference of two frames of a framing is the one that the settings give. */
  private boolean settled(int f, int g) {
    double bySettings = frames.get(g).ev() - frames.get(f).ev();
    return Math.abs(rendering(f) - rendering(g) - bySettings) < 1e-6;
  }

  int stretchOf(int f) {
    return stretch[framingOf[f]];
  }

  static double square(double v) {
    return v * v;
  }
}
