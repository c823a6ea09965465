package samelight.engine.store;

import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import samelight.engine.Analysis;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Match;
import samelight.engine.timeline.BodyClock;
import samelight.engine.timeline.Section;

/**
 * What {@code plan.json} holds: the groups with their matches, and the photographer's decisions.
 *
 * @param bodies bodies and their clocks
 * @param sections sections in the order of the day
 * @param groups groups in the order of the day
 * @param pairs of raw+JPEG pairs, the JPEG by the raw
 * @param matches match of each grouped frame, by frame; of its evidence, the two differences and
 *     the method
 * @param unmatched frames that get no exposure match, with the reason
 * @param decisions decisions of the photographer
 * @param findings findings of the analysis
 */
public record Plan(
    List<BodyClock> bodies,
    List<Section> sections,
    List<LightingGroup> groups,
    Map<String, String> pairs,
    Map<String, Match> matches,
    Map<String, String> unmatched,
    PhotographerDecisions decisions,
    List<Finding> findings) {

  /** Copies its collections. */
  public Plan {
    bodies = List.copyOf(bodies);
    sections = List.copyOf(sections);
    groups = List.copyOf(groups);
    pairs = Collections.unmodifiableMap(new TreeMap<>(pairs));
    matches = Map.copyOf(matches);
    unmatched = Collections.unmodifiableMap(new TreeMap<>(unmatched));
    findings = List.copyOf(findings);
  }

  /** The plan that follows from an analysis. */
  public static Plan of(Analysis analysis, List<Frame> frames, PhotographerDecisions decisions) {
    Map<String, String> pairs = new TreeMap<>();
    for (Frame frame : frames) {
      String paired = frame.paired();
      if (paired != null) {
        pairs.put(frame.file(), paired);
      }
    }
    return new Plan(
        analysis.bodies(),
        analysis.sections(),
        analysis.groups(),
        pairs,
        analysis.matches(),
        analysis.unmatched(),
        decisions,
        analysis.findings());
  }

  /** The group of each grouped frame. */
  public Map<String, LightingGroup> groupOf() {
    Map<String, LightingGroup> groupOf = new HashMap<>();
    for (LightingGroup group : groups) {
      for (String frame : group.frames()) {
        groupOf.put(frame, group);
      }
    }
    return groupOf;
  }

  /** The same groups with other decisions, as when a grade is stated. */
  public Plan withDecisions(PhotographerDecisions other) {
    return new Plan(bodies, sections, groups, pairs, matches, unmatched, other, findings);
  }
}
