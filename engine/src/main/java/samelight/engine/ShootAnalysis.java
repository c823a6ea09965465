package samelight.engine;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Evidence;
import samelight.engine.match.Match;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Mired;
import samelight.engine.timeline.BodyClock;
import samelight.engine.timeline.Section;

/** The whole pipeline in one readable method: a pure function of frames and options. */
public final class ShootAnalysis {
  private ShootAnalysis() {}

  /**
   * Analyses a shoot.
   *
   * @param frames frames in any order; their paths must be distinct
   * @param options what the photographer stated
   * @return groups, references and matches
   * @throws IllegalArgumentException if two frames have one path
   */
  public static Analysis of(List<Frame> frames, AnalysisOptions options) {
    List<Frame> sorted = new ArrayList<>(frames);
    sorted.sort(
        Comparator.comparingDouble(
                (Frame f) -> {
                  var time = f.time();
                  return time == null ? Double.MAX_VALUE : time.localSeconds();
                })
            .thenComparing(Frame::file));
    Map<String, List<String>> byBody = new LinkedHashMap<>();
    Map<String, BodyClock> clocks = new LinkedHashMap<>();
    Map<String, FrameLight> light = new HashMap<>();
    Map<String, Match> matches = new HashMap<>();
    List<String> order = new ArrayList<>();
    for (Frame f : sorted) {
      order.add(f.file());
      byBody.computeIfAbsent(f.body().id(), k -> new ArrayList<>()).add(f.file());
      clocks.putIfAbsent(
          f.body().id(),
          new BodyClock(
              f.body(),
              options.clockOffsets().getOrDefault(f.body().id(), 0.0),
              null,
              BodyClock.Source.UNKNOWN));
      light.put(f.file(), lightOf(f.settings()));
    }
    List<LightingGroup> groups = new ArrayList<>();
    for (List<String> members : byBody.values()) {
      String reference = members.get(0);
      groups.add(new LightingGroup("g" + (groups.size() + 1), "s1", reference, members));
      for (String f : members) {
        matches.put(
            f,
            new Match(
                f,
                reference,
                Ev.ZERO,
                Ev.ZERO,
                Mired.ZERO,
                Mired.ZERO,
                Duv.ZERO,
                List.of(),
                new Evidence(Ev.ZERO, Ev.ZERO, "none yet", List.of(), List.of())));
      }
    }
    return new Analysis(
        new ArrayList<>(clocks.values()),
        List.of(new Section("s1", "Section 1", null, null)),
        groups,
        matches,
        light,
        Map.of(),
        order,
        List.of());
  }

  private static FrameLight lightOf(CaptureSettings s) {
    Ev ev = null;
    var time = s.exposureTime();
    var fNumber = s.fNumber();
    var iso = s.iso();
    if (time != null && fNumber != null && iso != null) {
      ev = new Ev(fNumber.av() + time.tv() - iso.stopsAbove100());
    }
    return new FrameLight(time, fNumber, iso, null, ev, null);
  }
}
