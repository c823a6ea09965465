package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.apache.commons.math3.special.Erf;
import samelight.engine.photometry.Weighted;

/**
 * How steady the light of a shoot is, learned from framings whose light is known, and what follows
 * for two framings that share nothing.
 *
 * <p>Let d be the unknown difference of light, and x = d + c the difference that settings and
 * brightness imply, c being content: a dress, a suit. With probability p the light is the same (d =
 * 0), else d is normal with deviation S: the spike-and-slab prior of [MITCHELL88]. Content is
 * normal with variance C. The posterior weight of "the same" is
 *
 * <p>w = p N(x; 0, C) / (p N(x; 0, C) + (1 - p) N(x; 0, C + S&sup2;)),
 *
 * <p>the mean of d is (1 - w) k x with k = S&sup2; / (S&sup2; + C), and its variance (1 - w) k C +
 * w (1 - w) k&sup2; x&sup2;. Here p and S come from linked framings within twenty minutes, C from
 * all linked framings, with flash and without apart, each with a prior worth a few pairs. All in
 * stops.
 */
final class Steadiness {
  /** Linked framings tell of the light within this time, in seconds. */
  private static final double REACH = 1200;

  /** Less isn't a change of light, in stops. */
  private static final double SAME = 0.08;

  private static final double PRIOR_PAIRS = 8;
  private static final double PRIOR_SAME = 0.7;
  private static final double PRIOR_CHANGE = 0.8;
  private static final double PRIOR_CONTENT = 0.4;

  /** Framings that share nothing differ in content by more variance than linked ones. */
  static final double UNLIKE_CONTENT = 3;

  /** A framing that shares nothing may look to another side of the room. */
  private static final double SAME_SIDE = 0.85;

  /** Flash frames aimed at the same exposure differ by this much as lit, in stops. */
  private static final double METERED_FLASH = 0.35;

  /** Bodies that met in fewer places aren't compared. */
  private static final int LEAST_MEETINGS = 3;

  private static final double UNKNOWN_BODIES = 0.2;

  private record Pair(double seconds, double change) implements Timed {}

  private final List<Pair> pairs = new ArrayList<>();
  private final Map<String, Map<String, double[]>> offsets = new HashMap<>();
  private final double content;

  private final double flashContent;

  /** Mean and standard deviation of an unknown, in stops. */
  record Guess(double mean, double sigma) {}

  Steadiness(LightModel model) {
    List<Double> contents = new ArrayList<>();
    List<Double> flashContents = new ArrayList<>();
    Map<String, Map<String, List<Double>>> met = new HashMap<>();
    for (List<Integer> place : model.places) {
      for (int i = 1; i < place.size(); i++) {
        int k = place.get(i - 1);
        int m = place.get(i);
        if (flash(model, k) && flash(model, m) && model.sameBody(k, m)) {
          double lit = model.rendering[m] - model.rendering[k];
          double shown = model.brightness[m] - model.brightness[k] - lit;
          if (!Double.isNaN(shown)) {
            flashContents.add(Math.abs(shown));
          }
        }
        if (flash(model, k) || flash(model, m)) {
          continue;
        }
        double change = model.light(m) - model.light(k);
        double pause = model.base(m).seconds() - model.base(k).seconds();
        double implied = model.impliedLight(m) - model.impliedLight(k);
        if (Double.isNaN(change) || Double.isNaN(pause) || Double.isNaN(implied)) {
          continue;
        }
        if (model.sameBody(k, m)) {
          pairs.add(new Pair(model.base(m).seconds(), Math.abs(change)));
          contents.add(Math.abs(implied - change));
        } else if (Math.abs(pause) < REACH) {
          met.computeIfAbsent(model.body(k), b -> new HashMap<>())
              .computeIfAbsent(model.body(m), b -> new ArrayList<>())
              .add(change);
          met.computeIfAbsent(model.body(m), b -> new HashMap<>())
              .computeIfAbsent(model.body(k), b -> new ArrayList<>())
              .add(-change);
        }
      }
    }
    pairs.sort(Comparator.comparingDouble(Pair::seconds));
    content = UNLIKE_CONTENT * variance(contents);
    flashContent = UNLIKE_CONTENT * variance(flashContents);
    met.forEach(
        (a, others) ->
            others.forEach(
                (b, changes) -> {
                  if (changes.size() >= LEAST_MEETINGS) {
                    double[] c = changes.stream().mapToDouble(Double::doubleValue).toArray();
                    double middle = Weighted.median(c);
                    double spread = Weighted.deviation(c, middle);
                    offsets
                        .computeIfAbsent(a, x -> new HashMap<>())
                        .put(b, new double[] {middle, Math.max(0.06, spread)});
                  }
                }));
  }

  /** Robust variance of differences of content, with the prior. */
  private static double variance(List<Double> differences) {
    int n = differences.size();
    double sum = PRIOR_PAIRS * 2 * PRIOR_CONTENT * PRIOR_CONTENT;
    if (n > 0) {
      double[] d = differences.stream().mapToDouble(Double::doubleValue).toArray();
      sum += n * LightModel.square(Weighted.deviation(d, 0));
    }
    return sum / (n + PRIOR_PAIRS);
  }

  private static boolean flash(LightModel model, int k) {
    return model.flash(model.framings.get(k).base());
  }

  /**
   * Difference of light between two framings that share nothing.
   *
   * @param seconds time of the frame on the shoot's clock
   * @param implied difference of light that settings and brightness imply, or NaN
   */
  Guess light(double seconds, double implied) {
    Changes around = around(seconds);
    double p = SAME_SIDE * around.same();
    if (Double.isNaN(implied)) {
      return new Guess(0, Math.sqrt((1 - p) * around.slab()));
    }
    return atNineteenInTwenty(implied, p, around.slab(), content);
  }

  /**
   * Changes of light.
   *
   * @param same probability that there was none
   * @param slab variance of those that were
   */
  private record Changes(double same, double slab) {}

  /** Changes around a time. */
  private Changes around(double seconds) {
    double same = PRIOR_PAIRS * PRIOR_SAME;
    double changed = PRIOR_PAIRS * (1 - PRIOR_SAME);
    double squares = changed * PRIOR_CHANGE * PRIOR_CHANGE;
    for (Pair p : Timed.around(pairs, seconds, REACH)) {
      if (p.change() <= SAME) {
        same++;
      } else {
        changed++;
        squares += p.change() * p.change();
      }
    }
    return new Changes(same / (same + changed), squares / changed);
  }

  /**
   * The same with a sigma that two times holds in at least 95 of 100 cases. The posterior has a
   * peak at 0 and a wide part, so that twice its deviation holds less often than of a normal; half
   * the distance from the mean within which 95 in 100 lie is taken where it is larger.
   */
  static Guess atNineteenInTwenty(double implied, double p, double slab, double content) {
    Guess g = posterior(implied, p, slab, content);
    Guess q = nineteenInTwenty(implied, p, slab, content, SAME / 2);
    return new Guess(g.mean(), Math.max(g.sigma(), q.sigma()));
  }

  /**
   * Mean, and half the distance from it within which 95 in 100 lie.
   *
   * @param near deviation of the light where it is "the same", in stops
   */
  static Guess nineteenInTwenty(
      double implied, double p, double slab, double content, double near) {
    Guess g = posterior(implied, p, slab, content);
    double w = weightOfSame(implied, p, slab, content);
    double k = slab / (slab + content);
    double low = 0;
    double high = 20 * (g.sigma() + near);
    for (int i = 0; i < 40; i++) {
      double t = (low + high) / 2;
      double within =
          w * within(g.mean(), t, 0, near)
              + (1 - w) * within(g.mean(), t, k * implied, Math.sqrt(k * content));
      if (within < 0.95) {
        low = t;
      } else {
        high = t;
      }
    }
    return new Guess(g.mean(), high / 2);
  }

  /** Probability that a normal lies within t of a centre. */
  private static double within(double centre, double t, double mean, double deviation) {
    double scale = deviation * Math.sqrt(2);
    return 0.5 * Erf.erf((centre - t - mean) / scale, (centre + t - mean) / scale);
  }

  private static double weightOfSame(double implied, double p, double slab, double content) {
    double alike = p * normal(implied, content);
    double other = (1 - p) * normal(implied, content + slab);
    return alike + other > 0 ? alike / (alike + other) : 0;
  }

  /**
   * Mean and deviation of the light's difference after the implied one has been seen.
   *
   * @param implied what settings and brightness imply, in stops
   * @param p probability that the light is the same, 0 to 1
   * @param slab variance of changes of light, more than 0
   * @param content variance of content, more than 0
   */
  static Guess posterior(double implied, double p, double slab, double content) {
    double w = weightOfSame(implied, p, slab, content);
    double k = slab / (slab + content);
    double mean = (1 - w) * k * implied;
    double variance = (1 - w) * k * content + w * (1 - w) * k * k * implied * implied;
    return new Guess(mean, Math.sqrt(variance + SAME * SAME / 4));
  }

  /**
   * Rendered difference of two flash frames that share nothing: both were metered, so that it is
   * small but for what brightness says. How far content misleads brightness is learned from flash
   * frames that share something.
   *
   * @param bright difference of brightness, in stops
   */
  Guess flash(double bright) {
    double prior = 2 * METERED_FLASH * METERED_FLASH;
    double k = prior / (prior + flashContent);
    return new Guess(k * bright, Math.sqrt(k * flashContent));
  }

  /** By how much a second body's frames show more light than a first's, where they met. */
  Guess bodies(String first, String second) {
    if (first.equals(second)) {
      return new Guess(0, 0);
    }
    double[] known = offsets.getOrDefault(first, Map.of()).get(second);
    return known == null ? new Guess(0, UNKNOWN_BODIES) : new Guess(known[0], known[1]);
  }

  private static double normal(double x, double variance) {
    return Math.exp(-0.5 * x * x / variance) / Math.sqrt(variance);
  }
}
