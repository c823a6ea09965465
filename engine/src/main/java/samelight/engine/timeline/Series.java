package samelight.engine.timeline;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.quantity.Ev;

/**
 * Recognises frames that differ on purpose: exposure brackets, where Exif says so (ExposureMode 2,
 * or a bias that steps from frame to frame at one time). They get no exposure match.
 */
public final class Series {
  /** Frames of a bracket follow each other within this, in seconds. */
  private static final double CLOSE = 3;

  private static final int BRACKET_MODE = 2;

  private Series() {}

  /**
   * Frames that belong to no group, with the reason.
   *
   * @param day frames in the order of the day
   */
  public static Map<String, String> apart(List<TimedFrame> day) {
    Map<String, List<TimedFrame>> runs = new LinkedHashMap<>();
    Map<String, String> out = new HashMap<>();
    for (TimedFrame f : day) {
      String body = f.frame().body().id();
      List<TimedFrame> run = runs.computeIfAbsent(body, b -> new ArrayList<>());
      if (!run.isEmpty() && !continues(run.get(run.size() - 1), f)) {
        close(run, out);
        run.clear();
      }
      if (f.frame().settings().mode() == BRACKET_MODE) {
        run.add(f);
      }
    }
    runs.values().forEach(run -> close(run, out));
    return out;
  }

  private static boolean continues(TimedFrame a, TimedFrame b) {
    return b.frame().settings().mode() == BRACKET_MODE && b.seconds() - a.seconds() <= CLOSE;
  }

  /** A run is a bracket if its exposures step. */
  private static void close(List<TimedFrame> run, Map<String, String> out) {
    if (run.size() < 2) {
      return;
    }
    boolean steps = false;
    for (int i = 1; i < run.size(); i++) {
      steps |= differs(run.get(i - 1).frame().settings(), run.get(i).frame().settings());
      steps |= Math.abs(run.get(i - 1).ev() - run.get(i).ev()) > 0.2;
    }
    if (steps) {
      for (TimedFrame f : run) {
        out.put(f.frame().file(), "exposure bracket (Exif ExposureMode 2, stepped exposure)");
      }
    }
  }

  private static boolean differs(CaptureSettings a, CaptureSettings b) {
    @Nullable Ev x = a.bias();
    @Nullable Ev y = b.bias();
    return x != null && y != null && Math.abs(x.stops() - y.stops()) > 0.2;
  }
}
