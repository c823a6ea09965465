package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.TreeMap;
import java.util.function.IntToDoubleFunction;
import org.jspecify.annotations.Nullable;

/**
 * The light of a place over time, as one body saw it, and what it says of a framing of that body
 * that shares nothing with the place but was made amid it.
 *
 * <p>Changes of light come as a Poisson process: of rate &lambda;, the light stays over a time
 * &Delta; with probability exp(-&lambda;&Delta;). The rate is that of changes between framings that
 * follow each other in the place within twenty minutes, joined with a prior of one in 200 seconds.
 * Between two known framings whose light agrees it may also have gone and come back, in one of
 * {@value #RETURNS} cases of a change on either side. Where they differ by D, the light went from
 * one to the other, evenly or in a step at any time: its deviation from the straight line is that
 * of an even spread, D / &radic;12, at most.
 *
 * <p>The framing may look to another side of the place. How often that happens is learned from
 * framings that are known to: those between two of one place that lie in another.
 */
final class LightCourse {
  /** Framings tell of the rate within this time, and of the light, in seconds. */
  static final double REACH = 1200;

  /** Less isn't a change of light, in stops. */
  static final double SAME = 0.08;

  private static final double PRIOR_CHANGES = 1;
  private static final double PRIOR_SECONDS = 200;
  private static final double RETURNS = 0.25;
  private static final double PRIOR_FRAMINGS = 8;
  private static final double PRIOR_SAME_SIDE = 0.95;

  private final LightModel model;
  private final Map<String, NavigableMap<Double, Integer>> known = new HashMap<>();
  private final Map<String, List<Step>> steps = new HashMap<>();
  private final Map<String, List<Side>> sides = new HashMap<>();

  private record Step(double seconds, double pause, boolean changed) implements Timed {}

  private record Side(double seconds, boolean same) implements Timed {}

  /**
   * Light at a framing, by what was known before and after it.
   *
   * @param before framing before it in the place, or -1
   * @param after framing after it in the place, or -1
   * @param share of {@code after} in the straight line between them, 0 to 1
   * @param spread deviation of the light from that line while it didn't change otherwise, in stops
   * @param same probability that it didn't, and that the framing looks to the same side
   */
  record Known(int before, int after, double share, double spread, double same) {

    /** A value on the straight line. */
    double line(IntToDoubleFunction of) {
      if (before < 0) {
        return of.applyAsDouble(after);
      }
      return after < 0
          ? of.applyAsDouble(before)
          : (1 - share) * of.applyAsDouble(before) + share * of.applyAsDouble(after);
    }
  }

  LightCourse(LightModel model) {
    this.model = model;
    Map<String, List<Integer>> bodies = new HashMap<>();
    for (int k = 0; k < model.framings.size(); k++) {
      if (tells(k)) {
        bodies.computeIfAbsent(model.body(k), b -> new ArrayList<>()).add(k);
        if (model.places.get(model.place[k]).size() > 1) {
          known
              .computeIfAbsent(key(model.body(k), model.place[k]), x -> new TreeMap<>())
              .putIfAbsent(seconds(k), k);
        }
      }
    }
    known.forEach(this::learnSteps);
    bodies.forEach(this::learnSides);
  }

  private static String key(String body, int place) {
    return place + " " + body;
  }

  private boolean tells(int k) {
    return !model.flash(model.framings.get(k).base())
        && !Double.isNaN(model.light(k))
        && !Double.isNaN(seconds(k));
  }

  private double seconds(int k) {
    return model.base(k).seconds();
  }

  private void learnSteps(String key, NavigableMap<Double, Integer> framings) {
    int last = -1;
    for (int k : framings.values()) {
      if (last >= 0 && seconds(k) - seconds(last) <= REACH) {
        boolean changed = Math.abs(model.light(k) - model.light(last)) > SAME;
        steps
            .computeIfAbsent(key, b -> new ArrayList<>())
            .add(new Step(seconds(k), seconds(k) - seconds(last), changed));
      }
      last = k;
    }
  }

  private void learnSides(String body, List<Integer> framings) {
    framings.sort(Comparator.comparingDouble(this::seconds));
    for (int i = 1; i + 1 < framings.size(); i++) {
      int p = model.place[framings.get(i - 1)];
      int q = model.place[framings.get(i)];
      if (p == model.place[framings.get(i + 1)] && model.places.get(q).size() > 1) {
        sides
            .computeIfAbsent(body, b -> new ArrayList<>())
            .add(new Side(seconds(framings.get(i)), p == q));
      }
    }
  }

  /**
   * What is known of the light at a framing from a place that it shares nothing with, or null where
   * its body saw nothing of the place within twenty minutes.
   */
  @Nullable Known at(int k, int place) {
    String key = key(model.body(k), place);
    NavigableMap<Double, Integer> framings = known.get(key);
    double now = seconds(k);
    if (framings == null || Double.isNaN(now)) {
      return null;
    }
    Map.Entry<Double, Integer> b = framings.floorEntry(now);
    Map.Entry<Double, Integer> a = framings.higherEntry(now);
    boolean before = b != null && now - b.getKey() <= REACH;
    boolean after = a != null && a.getKey() - now <= REACH;
    if (!before && !after) {
      return null;
    }
    double rate = rate(key, now);
    double side = sameSide(model.body(k), now);
    if (!before || !after) {
      double pause = before ? now - b.getKey() : a.getKey() - now;
      return new Known(
          before ? b.getValue() : -1,
          after ? a.getValue() : -1,
          0,
          SAME / 2,
          side * Math.exp(-rate * pause));
    }
    double first = now - b.getKey();
    double second = a.getKey() - now;
    double moved = Math.abs(model.light(a.getValue()) - model.light(b.getValue()));
    return new Known(
        b.getValue(),
        a.getValue(),
        first + second > 0 ? first / (first + second) : 0,
        Math.hypot(SAME / 2, moved / Math.sqrt(12)),
        side * stays(rate, first, second));
  }

  /**
   * Probability that light which agrees before and after didn't change and come back.
   *
   * @param rate changes a second
   * @param first seconds since the framing before
   * @param second seconds to the framing after
   */
  static double stays(double rate, double first, double second) {
    double steady = Math.exp(-rate * (first + second));
    double back = RETURNS * (1 - Math.exp(-rate * first)) * (1 - Math.exp(-rate * second));
    return steady / (steady + back);
  }

  private double rate(String key, double now) {
    double changes = PRIOR_CHANGES;
    double seconds = PRIOR_SECONDS;
    for (Step s : Timed.around(steps.getOrDefault(key, List.of()), now, REACH)) {
      changes += s.changed() ? 1 : 0;
      seconds += s.pause();
    }
    return changes / seconds;
  }

  private double sameSide(String body, double now) {
    double same = PRIOR_FRAMINGS * PRIOR_SAME_SIDE;
    double all = PRIOR_FRAMINGS;
    for (Side s : Timed.around(sides.getOrDefault(body, List.of()), now, REACH)) {
      same += s.same() ? 1 : 0;
      all++;
    }
    return same / all;
  }
}
