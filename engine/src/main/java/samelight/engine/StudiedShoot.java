package samelight.engine;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import samelight.engine.frame.Finding;
import samelight.engine.lighting.Decisions;
import samelight.engine.lighting.Grouping;
import samelight.engine.lighting.LightStudy;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Match;
import samelight.engine.match.Matcher;
import samelight.engine.quantity.Ev;
import samelight.engine.timeline.BodyClock;
import samelight.engine.timeline.TimedFrame;

/**
 * A shoot whose pictures have been compared. Grouping it under other decisions takes no second look
 * at them: the links between framings stay in memory, and only matches to new references are worked
 * out. Safe for use by several threads.
 */
public final class StudiedShoot {
  private final List<BodyClock> clocks;
  private final List<TimedFrame> day;
  private final Map<String, TimedFrame> byPath = new HashMap<>();
  private final Map<String, String> apart;
  private final LightStudy study;
  private final Map<String, Integer> framings;
  private final Map<String, FrameLight> light = new HashMap<>();
  private final List<Finding> findings;
  private final Map<Pair, Match> matches = new ConcurrentHashMap<>();

  private record Pair(String frame, String reference, double follow) {}

  StudiedShoot(
      List<BodyClock> clocks,
      List<TimedFrame> day,
      Map<String, String> apart,
      LightStudy study,
      List<Finding> findings) {
    this.clocks = clocks;
    this.day = day;
    this.apart = apart;
    this.study = study;
    this.findings = findings;
    this.framings = study.framings();
    study.frames().forEach(f -> byPath.put(f.frame().file(), f));
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
  }

  /**
   * Groups, references and matches under these decisions.
   *
   * @param options decisions and {@code follow}; clocks stay as they were when the shoot was
   *     studied
   */
  public Analysis analysis(AnalysisOptions options) {
    Grouping grouped = study.grouping(ineligible(options), options.decisions());
    Matcher matcher = new Matcher(options.follow());
    Map<String, Match> found = new HashMap<>();
    for (LightingGroup group : grouped.groups()) {
      TimedFrame reference = get(group.reference());
      for (String f : group.frames()) {
        found.put(
            f,
            matches.computeIfAbsent(
                new Pair(f, group.reference(), options.follow()),
                p ->
                    matcher.match(
                        get(p.frame()), reference, study.difference(p.frame(), p.reference()))));
      }
    }
    return new Analysis(
        clocks,
        grouped.sections(),
        grouped.groups(),
        found,
        light,
        unmatched(options.decisions()),
        day.stream().map(f -> f.frame().file()).toList(),
        framings,
        study.responses(),
        findings);
  }

  private Map<String, String> unmatched(Decisions decisions) {
    Map<String, String> out = new HashMap<>();
    for (String f : decisions.leftOut()) {
      if (byPath.containsKey(f)) {
        out.put(f, Decisions.LEFT_OUT);
      }
    }
    out.putAll(apart);
    return out;
  }

  /** A rejected frame gets no recipe, so it can't give one. */
  private Set<String> ineligible(AnalysisOptions options) {
    Set<String> out = new HashSet<>();
    for (TimedFrame f : day) {
      boolean proposed = options.proposedOut().contains(f.frame().file());
      if (f.frame().marks().rejected() || (proposed && !f.frame().marks().rated())) {
        out.add(f.frame().file());
      }
    }
    out.removeAll(options.decisions().references());
    return out;
  }

  private TimedFrame get(String path) {
    TimedFrame f = byPath.get(path);
    if (f == null) {
      throw new IllegalStateException("group names a frame that isn't in the day: " + path);
    }
    return f;
  }
}
