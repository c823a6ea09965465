package samelight.engine;

import java.util.List;
import java.util.Map;
import samelight.engine.frame.Finding;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Match;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.timeline.BodyClock;
import samelight.engine.timeline.Section;

/**
 * The result of analysing a shoot. Every frame is in exactly one group or in {@code unmatched}.
 *
 * @param bodies the bodies and their clocks
 * @param sections sections in the order of the day
 * @param groups groups in the order of the day
 * @param matches match of each grouped frame to its reference, by frame
 * @param light photometry of each frame, by frame
 * @param unmatched frames that get no exposure match, with the reason, such as "exposure bracket"
 * @param order all frames in the order of the day
 * @param framings number of the framing of each frame: frames of one number show the same picture
 * @param responses what each body's rendering answers to exposure, by body id
 * @param findings what was wrong, missing or doubtful in the analysis
 */
public record Analysis(
    List<BodyClock> bodies,
    List<Section> sections,
    List<LightingGroup> groups,
    Map<String, Match> matches,
    Map<String, FrameLight> light,
    Map<String, String> unmatched,
    List<String> order,
    Map<String, Integer> framings,
    Map<String, BodyResponse> responses,
    List<Finding> findings) {

  /** Copies its collections. */
  public Analysis {
    bodies = List.copyOf(bodies);
    sections = List.copyOf(sections);
    groups = List.copyOf(groups);
    matches = Map.copyOf(matches);
    light = Map.copyOf(light);
    unmatched = Map.copyOf(unmatched);
    order = List.copyOf(order);
    framings = Map.copyOf(framings);
    responses = Map.copyOf(responses);
    findings = List.copyOf(findings);
  }
}
