package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.photometry.Weighted;
import samelight.engine.timeline.TimedFrame;

/**
 * Light that a body's lenses pass less than their marks say, learned from a shoot: a lens of f/2
 * whose transmission is T/2.3 loses 0.4 stop.
 *
 * <p>A frame renders R = l - EV - o stops, with l the light, EV by the settings and o the loss of
 * its lens. Where framings of one body with two lenses show the same background, one soon after the
 * other, R + EV differs by o<sub>1</sub> - o<sub>2</sub>, plus what the light changed. The median d
 * of at least {@value #FEWEST} such differences has the error e = 1.25 s / &radic;n (s their robust
 * deviation, 1.25 the price of a median of normal errors). With losses that scatter by P between
 * lenses the estimate is d P&sup2; / (P&sup2; + e&sup2;), and its variance P&sup2; e&sup2; /
 * (P&sup2; + e&sup2;). Losses are relative to the lens that a body used most. One figure is taken
 * for all apertures of a lens.
 */
final class LensLoss {
  /** Losses of lenses differ by this, one standard deviation (common practice, no source). */
  static final double UNKNOWN = 0.2;

  static final int FEWEST = 4;

  /** Differences that scatter by more than this tell of the light, not of lenses, in stops. */
  private static final double MOST_SCATTER = 0.2;

  /** Links err by this at least, in stops. */
  private static final double LEAST_SCATTER = 0.04;

  /** A loss and one standard deviation of it, in stops. */
  record Loss(double stops, double sigma) {
    private static final Loss NONE = new Loss(0, 0);
  }

  /** A link of two framings of one body that follow each other at once, by a frame of each. */
  record Step(TimedFrame from, TimedFrame to, double light) {}

  private final Map<String, String> most = new HashMap<>();
  private final Map<String, Map<String, Loss>> byBody = new HashMap<>();

  /** Nothing known. */
  static final LensLoss NONE = new LensLoss();

  private LensLoss() {}

  /**
   * Learns losses.
   *
   * @param frames all frames of the shoot
   * @param steps differences of light by pictures and settings, without flash
   */
  static LensLoss learn(List<TimedFrame> frames, List<Step> steps) {
    LensLoss out = new LensLoss();
    out.findMost(frames);
    Map<String, Map<String, List<Double>>> seen = new HashMap<>();
    for (Step s : steps) {
      String body = s.from().frame().body().id();
      String first = lens(s.from());
      String second = lens(s.to());
      String main = out.most.get(body);
      if (first == null || second == null || main == null || first.equals(second)) {
        continue;
      }
      if (first.equals(main)) {
        seen.computeIfAbsent(body, b -> new HashMap<>())
            .computeIfAbsent(second, l -> new ArrayList<>())
            .add(-s.light());
      } else if (second.equals(main)) {
        seen.computeIfAbsent(body, b -> new HashMap<>())
            .computeIfAbsent(first, l -> new ArrayList<>())
            .add(s.light());
      }
    }
    seen.forEach(
        (body, lenses) ->
            lenses.forEach(
                (lens, losses) -> {
                  Loss loss = loss(losses);
                  if (loss != null) {
                    out.byBody.computeIfAbsent(body, b -> new HashMap<>()).put(lens, loss);
                  }
                }));
    return out;
  }

  private void findMost(List<TimedFrame> frames) {
    Map<String, Map<String, Integer>> counts = new HashMap<>();
    for (TimedFrame f : frames) {
      String lens = lens(f);
      if (lens != null) {
        counts
            .computeIfAbsent(f.frame().body().id(), b -> new HashMap<>())
            .merge(lens, 1, Integer::sum);
      }
    }
    counts.forEach(
        (body, lenses) ->
            most.put(
                body,
                lenses.entrySet().stream()
                    .max(
                        Map.Entry.<String, Integer>comparingByValue()
                            .thenComparing(Map.Entry.comparingByKey()))
                    .orElseThrow()
                    .getKey()));
  }

  private static @Nullable Loss loss(List<Double> losses) {
    if (losses.size() < FEWEST) {
      return null;
    }
    double[] d = losses.stream().mapToDouble(Double::doubleValue).toArray();
    double median = Weighted.median(d);
    double scatter = Weighted.deviation(d, median);
    if (scatter > MOST_SCATTER) {
      return null;
    }
    double error = 1.25 * Math.max(LEAST_SCATTER, scatter) / Math.sqrt(d.length);
    double kept = UNKNOWN * UNKNOWN / (UNKNOWN * UNKNOWN + error * error);
    return new Loss(kept * median, Math.sqrt(kept) * error);
  }

  private static @Nullable String lens(TimedFrame f) {
    return f.frame().optics().lens();
  }

  /** Whether any loss was found. */
  boolean isEmpty() {
    return byBody.isEmpty();
  }

  /** Loss of a frame's lens against the one that its body used most; 0 where nothing was found. */
  double stops(TimedFrame f) {
    Loss loss = known(f);
    return loss == null ? 0 : loss.stops();
  }

  /** One standard deviation of what two frames' lenses pass differently, in stops. */
  double sigma(TimedFrame f, TimedFrame g) {
    String a = lens(f);
    String b = lens(g);
    // other bodies' lenses are part of what is known of the bodies
    if (a == null || b == null || a.equals(b) || !f.frame().body().equals(g.frame().body())) {
      return 0;
    }
    Loss first = known(f);
    Loss second = known(g);
    return first == null || second == null ? UNKNOWN : Math.hypot(first.sigma(), second.sigma());
  }

  private @Nullable Loss known(TimedFrame f) {
    String lens = lens(f);
    String body = f.frame().body().id();
    if (lens == null || lens.equals(most.get(body))) {
      return Loss.NONE;
    }
    return byBody.getOrDefault(body, Map.of()).get(lens);
  }
}
