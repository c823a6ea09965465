package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.SmallImage;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.likeness.Likeness;
import samelight.engine.timeline.TimedFrame;

/**
 * The framings of a shoot as somebody sees them who chooses among frames: those that the match
 * finds to show one crop ({@link FramingFinder}), and next to them those that look alike though the
 * photographer took a step ({@link Likeness}).
 *
 * <p>Neighbours on a body's time line are joined, the most alike first, while the frames of the two
 * are alike on average (average linkage along time).
 */
public final class Framings {
  /** Least mean likeness of the frames of two neighbours that are joined. */
  private static final double ALIKE = 0.8;

  /** Frames so far apart, in seconds, were not taken in one go. */
  private static final double LONGEST_PAUSE = 10;

  /** Of a long framing only so many frames next to the neighbour are compared. */
  private static final int MOST_COMPARED = 8;

  private final List<TimedFrame> frames;
  private final LinkedHashMap<Integer, Likeness> recent =
      new LinkedHashMap<>(128, 0.75f, true) {
        @Override
        protected boolean removeEldestEntry(Map.Entry<Integer, Likeness> eldest) {
          return size() > 500;
        }
      };

  private Framings(List<TimedFrame> frames) {
    this.frames = frames;
  }

  /**
   * Finds them.
   *
   * @param frames all frames in the order of the day
   * @param memory of what earlier looks at the pictures showed
   * @return every frame's path once, in framings in the order of their first frames; a frame that
   *     is alike to none of its neighbours is a framing of its own
   */
  public static List<List<String>> of(List<TimedFrame> frames, ComparisonMemory memory) {
    Map<String, List<List<Integer>>> bodies = new LinkedHashMap<>();
    for (Framing framing : FramingFinder.find(frames, memory).framings()) {
      String body = frames.get(framing.base()).frame().body().id();
      bodies.computeIfAbsent(body, b -> new ArrayList<>()).add(framing.members());
    }
    Framings finder = new Framings(frames);
    List<List<Integer>> all = new ArrayList<>();
    bodies.values().forEach(own -> all.addAll(finder.joined(own)));
    all.sort((a, b) -> Integer.compare(a.get(0), b.get(0)));
    List<List<String>> out = new ArrayList<>();
    for (List<Integer> framing : all) {
      out.add(framing.stream().map(i -> frames.get(i).frame().file()).toList());
    }
    return out;
  }

  /** Joins within each stretch without a pause. */
  private List<List<Integer>> joined(List<List<Integer>> own) {
    List<List<Integer>> out = new ArrayList<>();
    List<List<Integer>> stretch = new ArrayList<>();
    for (List<Integer> framing : own) {
      if (!stretch.isEmpty() && paused(stretch.get(stretch.size() - 1), framing)) {
        out.addAll(agglomerate(stretch));
        stretch = new ArrayList<>();
      }
      stretch.add(framing);
    }
    out.addAll(agglomerate(stretch));
    return out;
  }

  private boolean paused(List<Integer> a, List<Integer> b) {
    double pause = frames.get(b.get(0)).seconds() - frames.get(a.get(a.size() - 1)).seconds();
    return !(pause < LONGEST_PAUSE);
  }

  private List<List<Integer>> agglomerate(List<List<Integer>> stretch) {
    List<List<Integer>> parts = new ArrayList<>();
    stretch.forEach(p -> parts.add(new ArrayList<>(p)));
    List<Double> links = new ArrayList<>();
    Map<Long, Double> known = new HashMap<>();
    for (int i = 0; i + 1 < parts.size(); i++) {
      links.add(link(parts.get(i), parts.get(i + 1), known));
    }
    while (!links.isEmpty()) {
      int best = 0;
      for (int i = 1; i < links.size(); i++) {
        best = links.get(i) > links.get(best) ? i : best;
      }
      if (links.get(best) < ALIKE) {
        break;
      }
      parts.get(best).addAll(parts.remove(best + 1));
      links.remove(best);
      if (best < links.size()) {
        links.set(best, link(parts.get(best), parts.get(best + 1), known));
      }
      if (best > 0) {
        links.set(best - 1, link(parts.get(best - 1), parts.get(best), known));
      }
    }
    return parts;
  }

  private double link(List<Integer> a, List<Integer> b, Map<Long, Double> known) {
    double sum = 0;
    int n = 0;
    for (int i : a.subList(Math.max(0, a.size() - MOST_COMPARED), a.size())) {
      for (int j : b.subList(0, Math.min(MOST_COMPARED, b.size()))) {
        sum += known.computeIfAbsent((long) i << 32 | j, k -> likeness(i, j));
        n++;
      }
    }
    return sum / n;
  }

  private double likeness(int i, int j) {
    Likeness a = of(i);
    Likeness b = of(j);
    return a == null || b == null ? -1 : a.to(b);
  }

  private @Nullable Likeness of(int index) {
    Likeness known = recent.get(index);
    if (known != null) {
      return known;
    }
    SmallImage small = frames.get(index).frame().picture().small();
    if (small == null) {
      return null;
    }
    Likeness made = Likeness.of(small);
    recent.put(index, made);
    return made;
  }
}
