package samelight.engine.timeline;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.photometry.ExposureSteps;

/** Puts all frames on one time line, by the clocks of their bodies. */
public final class Timeline {
  private Timeline() {}

  /**
   * Orders frames.
   *
   * @param frames frames in any order
   * @param clockOffsets seconds to add to a body's clock, by body id; 0 where absent
   * @param findings receives what was missing
   * @return the frames in the order of the day
   */
  public static List<TimedFrame> of(
      List<Frame> frames, Map<String, Double> clockOffsets, List<Finding> findings) {
    Map<String, List<Frame>> bodies = new TreeMap<>();
    for (Frame f : frames) {
      bodies.computeIfAbsent(f.body().id(), k -> new ArrayList<>()).add(f);
    }
    List<Placed> placed = new ArrayList<>(frames.size());
    Map<String, ExposureSteps> steps = new HashMap<>();
    bodies.forEach(
        (id, own) -> {
          own.sort(Comparator.comparing(Frame::file));
          List<CaptureSettings> settings = own.stream().map(Frame::settings).toList();
          steps.put(id, ExposureSteps.of(settings));
          place(own, clockOffsets.getOrDefault(id, 0.0), placed, findings);
        });
    placed.sort(
        Comparator.comparingDouble(Placed::seconds) // NaN sorts last
            .thenComparing(p -> p.frame().body().id())
            .thenComparing(p -> p.frame().file()));
    List<TimedFrame> out = new ArrayList<>(placed.size());
    for (Placed p : placed) {
      ExposureSteps s = steps.get(p.frame().body().id());
      if (s == null) {
        throw new IllegalStateException("no steps for body " + p.frame().body().id());
      }
      out.add(new TimedFrame(out.size(), p.frame(), p.seconds(), s.exact(p.frame().settings())));
    }
    return out;
  }

  private record Placed(Frame frame, double seconds) {}

  private static void place(
      List<Frame> byName, double offset, List<Placed> placed, List<Finding> findings) {
    double last = Double.NaN;
    List<Frame> waiting = new ArrayList<>();
    for (Frame f : byName) {
      CaptureTime time = f.time();
      if (time == null) {
        if (Double.isNaN(last)) {
          waiting.add(f);
        } else {
          placed.add(new Placed(f, last));
          findings.add(noTime(f, "ordered by its file name after the frame before it"));
        }
        continue;
      }
      last = time.localSeconds() + offset;
      placed.add(new Placed(f, last));
      for (Frame w : waiting) {
        placed.add(new Placed(w, last));
        findings.add(noTime(w, "ordered by its file name before the frame after it"));
      }
      waiting.clear();
    }
    for (Frame w : waiting) {
      placed.add(new Placed(w, Double.NaN));
      findings.add(noTime(w, "put at the end of the day: its body has no time at all"));
    }
  }

  private static Finding noTime(Frame f, String action) {
    return new Finding(
        f.file(), null, "capture time (Exif DateTimeOriginal) present", "none", action);
  }
}
