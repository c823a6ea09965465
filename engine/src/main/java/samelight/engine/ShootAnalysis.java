package samelight.engine;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightStudy;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Match;
import samelight.engine.match.Matcher;
import samelight.engine.quantity.Ev;
import samelight.engine.timeline.BodyClock;
import samelight.engine.timeline.BodyClocks;
import samelight.engine.timeline.Series;
import samelight.engine.timeline.TimedFrame;
import samelight.engine.timeline.Timeline;

/** The whole pipeline in one readable method: a pure function of frames and options. */
public final class ShootAnalysis {
  private ShootAnalysis() {}

  /**
   * Analyses a shoot.
   *
   * @param frames frames in any order; their paths must be distinct
   * @param options what the photographer stated
   * @return groups, references and matches; every frame is in one group or among the unmatched
   * @throws IllegalArgumentException if two frames have one path
   */
  public static Analysis of(List<Frame> frames, AnalysisOptions options) {
    refuseDoubles(frames);
    List<Finding> findings = new ArrayList<>();
    List<BodyClock> clocks = BodyClocks.of(frames, options.clockOffsets());
    List<TimedFrame> day = Timeline.of(frames, BodyClocks.offsets(clocks), findings);
    Map<String, String> apart = Series.apart(day);
    LightStudy study =
        LightStudy.of(day, apart.keySet(), ineligible(day, options), options.decisions());
    Map<String, TimedFrame> byPath = new HashMap<>();
    day.forEach(f -> byPath.put(f.frame().file(), f));
    Matcher matcher = new Matcher(options.follow());
    Map<String, Match> matches = new HashMap<>();
    for (LightingGroup group : study.groups()) {
      TimedFrame reference = get(byPath, group.reference());
      for (String f : group.frames()) {
        matches.put(
            f, matcher.match(get(byPath, f), reference, study.difference(f, group.reference())));
      }
    }
    Map<String, FrameLight> light = new HashMap<>();
    for (TimedFrame f : day) {
      double scene = study.sceneLight(f.frame().file());
      light.put(
          f.frame().file(),
          new FrameLight(
              f.exact().exposureTime(),
              f.exact().fNumber(),
              f.exact().iso(),
              f.exact().step(),
              f.exact().ev100(),
              Double.isNaN(scene) ? null : new Ev(scene)));
    }
    return new Analysis(
        clocks,
        study.sections(),
        study.groups(),
        matches,
        light,
        apart,
        day.stream().map(f -> f.frame().file()).toList(),
        findings);
  }

  private static void refuseDoubles(List<Frame> frames) {
    Set<String> seen = new HashSet<>();
    for (Frame f : frames) {
      if (!seen.add(f.file())) {
        throw new IllegalArgumentException("frame paths must be distinct, twice: " + f.file());
      }
    }
  }

  private static TimedFrame get(Map<String, TimedFrame> byPath, String path) {
    TimedFrame f = byPath.get(path);
    if (f == null) {
      throw new IllegalStateException("group names a frame that isn't in the day: " + path);
    }
    return f;
  }

  /** A rejected frame gets no recipe, so it can't give one. */
  private static Set<String> ineligible(List<TimedFrame> day, AnalysisOptions options) {
    Set<String> out = new HashSet<>();
    for (TimedFrame f : day) {
      if (f.frame().marks().rejected()) {
        out.add(f.frame().file());
      }
    }
    out.removeAll(options.decisions().references());
    return out;
  }
}
