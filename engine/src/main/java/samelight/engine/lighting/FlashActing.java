package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import samelight.engine.timeline.TimedFrame;

/**
 * Tells frames whose flash gave light from those whose camera only says so: a unit that hasn't
 * recycled fires nothing.
 *
 * <p>Inside a framing the content is the same. Through-the-lens metering keeps the rendered
 * brightness b, and a flash of constant output keeps b + A, with A what aperture and ISO say. A
 * flash that gives a share s of the light on a framing's background and then nothing darkens it by
 * -log2(1 - s), by 0.4 stop or more for s of a quarter, which is more than metering wanders from
 * one frame to the next. So the fired frames of a framing are sorted by brightness and parted at
 * the widest gap of 0.4 stop or more, if there is one that both readings show; those below it gave
 * nothing, if each of them followed another flash of its body within the time that a unit takes to
 * recycle.
 */
final class FlashActing {
  /** A quarter of the light, in stops. */
  private static final double FELL = 0.4;

  /** A flash at full output recycles within this, in seconds (common practice, no source). */
  private static final double RECYCLED = 10;

  private final List<TimedFrame> frames;
  private final boolean[] acts;
  private final boolean[] hurried;

  private FlashActing(List<TimedFrame> frames) {
    this.frames = frames;
    acts = new boolean[frames.size()];
    hurried = new boolean[frames.size()];
    Map<String, Double> latest = new HashMap<>();
    for (TimedFrame f : frames) {
      acts[f.index()] = f.frame().flashFired();
      if (f.frame().flashFired()) {
        Double before = latest.put(f.frame().body().id(), f.seconds());
        hurried[f.index()] = before != null && f.seconds() - before <= RECYCLED;
      }
    }
  }

  /** For each frame in the order of the day, whether a flash lit it. */
  static boolean[] of(List<TimedFrame> frames, List<Framing> framings) {
    FlashActing found = new FlashActing(frames);
    framings.forEach(found::look);
    return found.acts;
  }

  private void look(Framing framing) {
    List<double[]> fired = new ArrayList<>(); // {frame, rendered, rendered for constant output}
    for (int i = 0; i < framing.members().size(); i++) {
      TimedFrame f = frames.get(framing.members().get(i));
      if (f.frame().flashFired()) {
        double rendered = framing.gain()[i];
        fired.add(new double[] {f.index(), rendered, rendered + aperture(f)});
      }
    }
    fired.sort(Comparator.comparingDouble((double[] f) -> f[1]).thenComparingDouble(f -> f[0]));
    int below = 0;
    double widest = FELL;
    for (int i = 1; i < fired.size(); i++) {
      double gap = gap(fired, i);
      if (gap >= widest) {
        widest = gap;
        below = i;
      }
    }
    List<double[]> spent = fired.subList(0, below);
    if (spent.stream().allMatch(f -> hurried[(int) f[0]])) {
      spent.forEach(f -> acts[(int) f[0]] = false);
    }
  }

  /** By how much all from {@code i} on are brighter than all before, by either reading. */
  private static double gap(List<double[]> fired, int i) {
    double metered = fired.get(i)[1] - fired.get(i - 1)[1];
    double least = Double.MAX_VALUE;
    double most = -Double.MAX_VALUE;
    for (int k = 0; k < fired.size(); k++) {
      double constant = fired.get(k)[2];
      if (k < i) {
        most = Math.max(most, constant);
      } else {
        least = Math.min(least, constant);
      }
    }
    return Double.isNaN(least - most) ? metered : Math.min(metered, least - most);
  }

  /** What aperture and ISO say, in stops; shutter time doesn't count for flash. */
  static double aperture(TimedFrame f) {
    var time = f.exact().exposureTime();
    return time == null ? f.ev() : f.ev() + Math.log(time.seconds()) / Math.log(2);
  }
}
