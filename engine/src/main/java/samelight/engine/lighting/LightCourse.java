package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.IntToDoubleFunction;
import org.jspecify.annotations.Nullable;

/**
 * The light of a place over time, as one body saw it in a section, and what it says of a framing of
 * that body that shares nothing with the place; see {@link LightProcess}.
 *
 * <p>The framing may have been made elsewhere: to another side, or in a light of its own. How often
 * that happens is learned from framings of the section that lie in one place between two which
 * agree: those that don't agree with both.
 */
final class LightCourse {
  /** Framings between others tell how often one is elsewhere within this time, in seconds. */
  private static final double REACH = 1200;

  /** Less isn't a change of light, in stops. */
  private static final double SAME = 0.08;

  /** Frames of one framing tell of the light anew after this time, in seconds. */
  private static final double MOMENT = 30;

  /** Most framings that are weighed together; a longer stretch is cut in time. */
  private static final int LONGEST = 250;

  private static final double PRIOR_FRAMINGS = 8;
  private static final double PRIOR_ELSEWHERE = 0.05;

  private final LightModel model;

  /** The stretch of each framing whose light can be told. */
  private final Row[] rowOf;

  private final Map<Asked, LightProcess> processes = new ConcurrentHashMap<>();

  /**
   * A stretch of one body.
   *
   * @param elsewhere chance that one of its framings was made elsewhere
   * @param frames the base of each framing in the order of time, and what else of it tells of a
   *     longer time
   */
  private record Row(double elsewhere, List<Integer> frames) {}

  /** The first frame of a stretch tells which it is. */
  private record Asked(int first, int place) {}

  /**
   * Light at a framing.
   *
   * @param before frame of the place before it, or -1
   * @param after frame of the place after it, or -1
   * @param share of {@code after} in the straight line between them, 0 to 1
   * @param light on the place's scale
   */
  record Known(int before, int after, double share, Steadiness.Guess light) {

    /** A value on the straight line. */
    double line(IntToDoubleFunction of) {
      return LightCourse.line(before, after, share, of);
    }
  }

  private static double line(int before, int after, double share, IntToDoubleFunction of) {
    if (before < 0) {
      return of.applyAsDouble(after);
    }
    return after < 0
        ? of.applyAsDouble(before)
        : (1 - share) * of.applyAsDouble(before) + share * of.applyAsDouble(after);
  }

  /**
   * Courses.
   *
   * @param sections section of each framing
   */
  LightCourse(LightModel model, int[] sections) {
    this.model = model;
    rowOf = new Row[sections.length];
    Map<String, List<Integer>> stretches = new HashMap<>();
    for (int k = 0; k < sections.length; k++) {
      if (tells(k)) {
        stretches.computeIfAbsent(sections[k] + " " + model.body(k), x -> new ArrayList<>()).add(k);
      }
    }
    stretches.values().forEach(this::learn);
  }

  private boolean tells(int k) {
    return !model.flash(base(k))
        && Double.isFinite(model.light(k))
        && Double.isFinite(model.impliedLight(k))
        && Double.isFinite(seconds(base(k)));
  }

  private int base(int k) {
    return model.framings.get(k).base();
  }

  private double seconds(int f) {
    return model.frames.get(f).seconds();
  }

  private void learn(List<Integer> framings) {
    framings.sort(Comparator.comparingDouble(k -> seconds(base(k))));
    double elsewhere = elsewhere(framings);
    for (int from = 0; from < framings.size(); from += LONGEST) {
      List<Integer> part = framings.subList(from, Math.min(framings.size(), from + LONGEST));
      List<Integer> frames = new ArrayList<>();
      part.forEach(k -> frames.addAll(telling(k)));
      frames.sort(Comparator.comparingDouble(this::seconds));
      Row row = new Row(elsewhere, frames);
      part.forEach(k -> rowOf[k] = row);
    }
  }

  /** The base of a framing, and frames of it from time to time where it lasts long. */
  private List<Integer> telling(int k) {
    List<Integer> out = new ArrayList<>(List.of(base(k)));
    double last = Double.NEGATIVE_INFINITY;
    for (int f : model.framings.get(k).members()) {
      boolean apart =
          seconds(f) - last >= MOMENT && Math.abs(seconds(f) - seconds(base(k))) >= MOMENT;
      if (apart && model.flash(f) == model.flash(base(k)) && Double.isFinite(model.lightOf(f))) {
        out.add(f);
        last = seconds(f);
      }
    }
    return out;
  }

  private double elsewhere(List<Integer> framings) {
    Map<Integer, List<Integer>> places = new HashMap<>();
    framings.forEach(k -> places.computeIfAbsent(model.place[k], p -> new ArrayList<>()).add(k));
    double all = PRIOR_FRAMINGS;
    double odd = PRIOR_FRAMINGS * PRIOR_ELSEWHERE;
    for (List<Integer> place : places.values()) {
      for (int i = 1; i + 1 < place.size(); i++) {
        int before = place.get(i - 1);
        int after = place.get(i + 1);
        if (seconds(base(after)) - seconds(base(before)) <= REACH && same(before, after)) {
          all++;
          odd += same(before, place.get(i)) ? 0 : 1;
        }
      }
    }
    return odd / all;
  }

  private boolean same(int k, int m) {
    return Math.abs(model.light(k) - model.light(m)) <= SAME;
  }

  /**
   * What is known of the light at a framing from a place that it shares nothing with, or null where
   * its body saw nothing of the place in that section.
   */
  @Nullable Known at(int k, int place) {
    Row row = rowOf[k];
    if (row == null) {
      return null;
    }
    double now = seconds(base(k));
    int before = -1;
    int after = -1;
    for (int f : row.frames()) {
      if (model.place[model.framingOf[f]] == place) {
        if (seconds(f) <= now) {
          before = f;
        } else if (after < 0) {
          after = f;
        }
      }
    }
    if (before < 0 && after < 0) {
      return null;
    }
    double share =
        before < 0 || after < 0 ? 0 : (now - seconds(before)) / (seconds(after) - seconds(before));
    LightProcess process =
        processes.computeIfAbsent(new Asked(row.frames().get(0), place), a -> process(row, place));
    Steadiness.Guess onLevels = process.at(row.frames().indexOf(base(k)));
    double light =
        onLevels.mean()
            + line(before, after, share, f -> model.lightOf(f) - process.rounded(model.lightOf(f)));
    return new Known(before, after, share, new Steadiness.Guess(light, onLevels.sigma()));
  }

  private LightProcess process(Row row, int place) {
    List<Integer> frames = row.frames();
    return new LightProcess(
        frames.stream().mapToDouble(this::seconds).toArray(),
        frames.stream().mapToDouble(this::implied).toArray(),
        frames.stream()
            .mapToDouble(
                f -> model.place[model.framingOf[f]] == place ? model.lightOf(f) : Double.NaN)
            .toArray(),
        row.elsewhere());
  }

  /** Brightness tells once of each framing. */
  private double implied(int f) {
    int k = model.framingOf[f];
    return f == base(k) ? model.impliedLight(k) : Double.NaN;
  }
}
