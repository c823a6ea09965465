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
 * The framings of a shoot, for the match and for whoever chooses among frames. The match takes
 * those that show one crop ({@link #crops}). Somebody who chooses takes these and, next to them,
 * frames that look alike though the photographer took a step ({@link Likeness}), as far as one
 * would do instead of the other ({@link #alike}).
 *
 * <p>For the latter, neighbours on a body's time line are joined, the most alike first, while the
 * frames of the two are alike on average (average linkage along time; frames of one crop are alike)
 * and the picture has not moved too far ({@link samelight.engine.likeness.Movement}): a slow walk
 * is cut.
 */
public final class Framings {
  /** Least mean likeness of the frames of two neighbours that are joined. */
  private static final double ALIKE = 0.8;

  /** Frames so far apart, in seconds, were not taken in one go. */
  private static final double LONGEST_PAUSE = 10;

  /**
   * Most movement from one frame to the next, as a share of the picture's longer side and as a
   * size: whoever chooses would take one for the other.
   */
  private static final double STEP = 0.1;

  private static final double STEP_SIZE = 1.2;

  /** The same from the first frame of a framing to its last: small steps add up. */
  private static final double WHOLE = 0.125;

  private static final double WHOLE_SIZE = 1.25;

  /** Link of neighbours that stay apart until one of them grows. */
  private static final double APART = -1;

  /** Of a long framing only so many frames next to the neighbour are compared. */
  private static final int MOST_COMPARED = 8;

  private final List<TimedFrame> frames;
  private final FramingFinder.Found crops;

  /** Per frame, the number of the match's framing. */
  private final int[] crop;

  private final LinkedHashMap<Integer, Likeness> recent =
      new LinkedHashMap<>(128, 0.75f, true) {
        @Override
        protected boolean removeEldestEntry(Map.Entry<Integer, Likeness> eldest) {
          return size() > 500;
        }
      };

  private Framings(List<TimedFrame> frames, FramingFinder.Found crops) {
    this.frames = frames;
    this.crops = crops;
    this.crop = new int[frames.size()];
    for (int i = 0; i < crops.framings().size(); i++) {
      for (int member : crops.framings().get(i).members()) {
        crop[member] = i;
      }
    }
  }

  /**
   * Finds them.
   *
   * @param frames all frames in the order of the day
   * @param memory of what earlier looks at the pictures showed
   */
  public static Framings find(List<TimedFrame> frames, ComparisonMemory memory) {
    return new Framings(frames, FramingFinder.find(frames, memory));
  }

  /** Frames of one crop, with what they say of bodies and flash. */
  FramingFinder.Found crops() {
    return crops;
  }

  /**
   * Frames that look alike.
   *
   * @return every frame's path once, in framings in the order of their first frames; a frame that
   *     is alike to none of its neighbours is a framing of its own
   */
  public List<List<String>> alike() {
    Map<String, List<Integer>> bodies = new LinkedHashMap<>();
    for (TimedFrame f : frames) {
      bodies.computeIfAbsent(f.frame().body().id(), b -> new ArrayList<>()).add(f.index());
    }
    List<List<Integer>> all = new ArrayList<>();
    bodies.values().forEach(own -> all.addAll(joined(own)));
    all.sort((a, b) -> Integer.compare(a.get(0), b.get(0)));
    List<List<String>> out = new ArrayList<>();
    for (List<Integer> framing : all) {
      out.add(framing.stream().map(i -> frames.get(i).frame().file()).toList());
    }
    return out;
  }

  /** Joins within each stretch without a pause. */
  private List<List<Integer>> joined(List<Integer> own) {
    List<List<Integer>> out = new ArrayList<>();
    List<Integer> stretch = new ArrayList<>();
    for (int index : own) {
      if (!stretch.isEmpty() && paused(stretch.get(stretch.size() - 1), index)) {
        out.addAll(agglomerate(stretch));
        stretch = new ArrayList<>();
      }
      stretch.add(index);
    }
    out.addAll(agglomerate(stretch));
    return out;
  }

  private boolean paused(int i, int j) {
    return crop[i] != crop[j]
        && !(frames.get(j).seconds() - frames.get(i).seconds() < LONGEST_PAUSE);
  }

  private List<List<Integer>> agglomerate(List<Integer> stretch) {
    List<List<Integer>> parts = new ArrayList<>();
    stretch.forEach(i -> parts.add(new ArrayList<>(List.of(i))));
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
      if (moved(parts.get(best), parts.get(best + 1))) {
        links.set(best, APART);
        continue;
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

  /** Whether the picture moved too far from one to the other, or over both. */
  private boolean moved(List<Integer> a, List<Integer> b) {
    return moved(a.get(a.size() - 1), b.get(0), STEP, STEP_SIZE)
        || moved(a.get(0), b.get(b.size() - 1), WHOLE, WHOLE_SIZE);
  }

  private boolean moved(int i, int j, double most, double size) {
    Likeness a = of(i);
    Likeness b = of(j);
    return a != null && b != null && !a.movementTo(b).within(most, size);
  }

  private double likeness(int i, int j) {
    if (crop[i] == crop[j]) {
      return 1;
    }
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
