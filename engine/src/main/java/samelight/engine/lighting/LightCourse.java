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

  /** Most framings that are weighed together; a longer stretch is cut in time. */
  private static final int LONGEST = 120;

  private static final double PRIOR_FRAMINGS = 8;
  private static final double PRIOR_ELSEWHERE = 0.05;

  private final LightModel model;

  /** Framings whose light can be told, by body and section, in the order of time. */
  private final List<Row> rows = new ArrayList<>();

  private final Row[] rowOf;
  private final int[] numberOf;
  private final Map<String, Double> elsewhere = new HashMap<>();
  private final Map<Asked, LightProcess> processes = new ConcurrentHashMap<>();

  private record Row(int number, String key, List<Integer> framings) {}

  private record Asked(int row, int place) {}

  /**
   * Light at a framing.
   *
   * @param before framing of the place before it, or -1
   * @param after framing of the place after it, or -1
   * @param share of {@code after} in the straight line between them, 0 to 1
   * @param light on the place's scale
   */
  record Known(int before, int after, double share, Steadiness.Guess light) {

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

  /**
   * Courses.
   *
   * @param sections section of each framing
   */
  LightCourse(LightModel model, int[] sections) {
    this.model = model;
    rowOf = new Row[sections.length];
    numberOf = new int[sections.length];
    Map<String, List<Integer>> stretches = new HashMap<>();
    for (int k = 0; k < sections.length; k++) {
      if (tells(k)) {
        stretches
            .computeIfAbsent(sections[k] + " " + model.body(k), x -> new ArrayList<>())
            .add(k);
      }
    }
    stretches.forEach(this::learn);
  }

  private boolean tells(int k) {
    return !model.flash(model.framings.get(k).base())
        && !Double.isNaN(model.light(k))
        && !Double.isNaN(model.impliedLight(k))
        && !Double.isNaN(seconds(k));
  }

  private double seconds(int k) {
    return model.base(k).seconds();
  }

  private void learn(String key, List<Integer> framings) {
    framings.sort(Comparator.comparingDouble(this::seconds));
    elsewhere.put(key, elsewhere(framings));
    for (int from = 0; from < framings.size(); from += LONGEST) {
      List<Integer> part = framings.subList(from, Math.min(framings.size(), from + LONGEST));
      Row row = new Row(rows.size(), key, part);
      rows.add(row);
      for (int i = 0; i < part.size(); i++) {
        rowOf[part.get(i)] = row;
        numberOf[part.get(i)] = i;
      }
    }
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
        if (seconds(after) - seconds(before) <= REACH && same(before, after)) {
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
    int before = -1;
    int after = -1;
    for (int m : row.framings()) {
      if (model.place[m] == place) {
        if (seconds(m) <= seconds(k)) {
          before = m;
        } else if (after < 0) {
          after = m;
        }
      }
    }
    if (before < 0 && after < 0) {
      return null;
    }
    double share =
        before < 0 || after < 0
            ? 0
            : (seconds(k) - seconds(before)) / (seconds(after) - seconds(before));
    LightProcess process =
        processes.computeIfAbsent(new Asked(row.number(), place), a -> process(row, place));
    return new Known(before, after, share, process.at(numberOf[k]));
  }

  private LightProcess process(Row row, int place) {
    List<Integer> framings = row.framings();
    return new LightProcess(
        framings.stream().mapToDouble(this::seconds).toArray(),
        framings.stream().mapToDouble(model::impliedLight).toArray(),
        framings.stream()
            .mapToDouble(k -> model.place[k] == place ? model.light(k) : Double.NaN)
            .toArray(),
        elsewhere.getOrDefault(row.key(), PRIOR_ELSEWHERE));
  }
}
