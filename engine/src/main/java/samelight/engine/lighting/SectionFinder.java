package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import samelight.engine.photometry.Weighted;

/**
 * Finds the stretches of the day: each body's time line is cut at pauses that are long for this
 * shoot, unless the same place goes on after the pause; stretches of two bodies are one where they
 * share a place, or where they overlap in time under a like light.
 */
final class SectionFinder {
  /** No pause shorter than this ends a section, in seconds. */
  private static final double LEAST_PAUSE = 180;

  /** A pause longer than this ends a section even if the place goes on. */
  private static final double LONGEST_PAUSE = 2400;

  private static final double TIMES_MEDIAN = 6;

  /** Scene light within this is a like light, in stops. */
  private static final double LIKE_LIGHT = 0.7;

  private final LightModel model;

  private record Stretch(String body, List<Integer> framings) {}

  SectionFinder(LightModel model) {
    this.model = model;
  }

  /** Section of each framing, numbered in the order of the day. */
  int[] find() {
    List<Stretch> stretches = new ArrayList<>();
    Map<String, List<Integer>> bodies = new LinkedHashMap<>();
    for (int k = 0; k < model.framings.size(); k++) {
      bodies.computeIfAbsent(model.body(k), b -> new ArrayList<>()).add(k);
    }
    double pause = pause(bodies);
    bodies.forEach((body, own) -> cut(body, own, pause, stretches));
    int[] group = new int[stretches.size()];
    Arrays.setAll(group, i -> i);
    joinByPlace(stretches, group);
    joinByTime(stretches, group);
    return number(stretches, group);
  }

  private double pause(Map<String, List<Integer>> bodies) {
    List<Double> gaps = new ArrayList<>();
    for (List<Integer> own : bodies.values()) {
      for (int i = 1; i < own.size(); i++) {
        double g = start(own.get(i)) - end(own.get(i - 1));
        if (g > 0) {
          gaps.add(g);
        }
      }
    }
    if (gaps.isEmpty()) {
      return LEAST_PAUSE;
    }
    double median = Weighted.median(gaps.stream().mapToDouble(Double::doubleValue).toArray());
    return Math.min(1200, Math.max(LEAST_PAUSE, TIMES_MEDIAN * median));
  }

  private double start(int k) {
    return model.frames.get(model.framings.get(k).members().get(0)).seconds();
  }

  private double end(int k) {
    List<Integer> m = model.framings.get(k).members();
    return model.frames.get(m.get(m.size() - 1)).seconds();
  }

  private void cut(String body, List<Integer> own, double pause, List<Stretch> out) {
    Map<Integer, Integer> lastOfPlace = new HashMap<>();
    for (int k : own) {
      lastOfPlace.put(model.place[k], k);
    }
    List<Integer> run = new ArrayList<>();
    int spans = -1; // the last framing of any place seen in this run
    for (int k : own) {
      if (!run.isEmpty()) {
        double gap = start(k) - end(run.get(run.size() - 1));
        boolean placeGoesOn = spans >= k;
        if (gap > LONGEST_PAUSE || (gap > pause && !placeGoesOn)) {
          out.add(new Stretch(body, run));
          run = new ArrayList<>();
          spans = -1;
        }
      }
      run.add(k);
      spans = Math.max(spans, lastOfPlace.getOrDefault(model.place[k], k));
    }
    if (!run.isEmpty()) {
      out.add(new Stretch(body, run));
    }
  }

  private void joinByPlace(List<Stretch> stretches, int[] group) {
    Map<Integer, Integer> seen = new HashMap<>();
    for (int s = 0; s < stretches.size(); s++) {
      for (int k : stretches.get(s).framings()) {
        Integer other = seen.putIfAbsent(model.place[k], s);
        if (other != null && other != s && distance(stretches.get(other), stretches.get(s)) < 600) {
          union(group, other, s);
        }
      }
    }
  }

  /** Seconds between two stretches; negative where they overlap. */
  private double distance(Stretch a, Stretch b) {
    return Math.max(first(a), first(b)) - Math.min(last(a), last(b));
  }

  private double first(Stretch s) {
    return start(s.framings().get(0));
  }

  private double last(Stretch s) {
    return end(s.framings().get(s.framings().size() - 1));
  }

  private void joinByTime(List<Stretch> stretches, int[] group) {
    List<Integer> order = new ArrayList<>();
    for (int s = 0; s < stretches.size(); s++) {
      if (!Double.isNaN(first(stretches.get(s)))) {
        order.add(s);
      }
    }
    order.sort(Comparator.comparingDouble(s -> first(stretches.get(s))));
    for (int i = 0; i < order.size(); i++) {
      Stretch a = stretches.get(order.get(i));
      for (int j = i + 1; j < order.size(); j++) {
        Stretch b = stretches.get(order.get(j));
        if (first(b) > last(a)) {
          break;
        }
        double shorter = Math.min(last(a) - first(a), last(b) - first(b));
        if (!a.body().equals(b.body())
            && -distance(a, b) >= 0.5 * shorter
            && Math.abs(light(a) - light(b)) < LIKE_LIGHT) {
          union(group, order.get(i), order.get(j));
        }
      }
    }
  }

  private double light(Stretch s) {
    double[] v =
        s.framings().stream()
            .mapToDouble(model::impliedLight)
            .filter(d -> !Double.isNaN(d))
            .toArray();
    return v.length == 0 ? Double.NaN : Weighted.median(v);
  }

  private static void union(int[] group, int a, int b) {
    int low = Math.min(group[a], group[b]);
    int high = Math.max(group[a], group[b]);
    for (int i = 0; i < group.length; i++) {
      if (group[i] == high) {
        group[i] = low;
      }
    }
  }

  private int[] number(List<Stretch> stretches, int[] group) {
    int[] section = new int[model.framings.size()];
    for (int s = 0; s < stretches.size(); s++) {
      for (int k : stretches.get(s).framings()) {
        section[k] = group[s];
      }
    }
    Map<Integer, Integer> numbers = new HashMap<>();
    for (int k = 0; k < section.length; k++) {
      Integer n = numbers.get(section[k]);
      if (n == null) {
        n = numbers.size();
        numbers.put(section[k], n);
      }
      section[k] = n;
    }
    return section;
  }
}
