package samelight.engine.account;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Match;
import samelight.engine.sidecar.CarryHistory;
import samelight.engine.store.Plan;
import samelight.engine.timeline.BodyClocks;
import samelight.engine.timeline.TimedFrame;
import samelight.engine.timeline.Timeline;

/**
 * How far each frame of a shoot is, in the order of the day.
 *
 * @param frames every frame once
 * @param day the same frames on their time line
 */
public record Standing(Map<String, FrameStanding> frames, List<TimedFrame> day) {
  /** Copies its collections, in their order. */
  public Standing {
    frames = Collections.unmodifiableMap(new LinkedHashMap<>(frames));
    day = List.copyOf(day);
  }

  /**
   * Works it out.
   *
   * @param plan the groups
   * @param frames the frames that were read
   * @param history what sidecars and journals tell of them
   * @param edited frames that a person edited before the first carry
   */
  public static Standing of(
      Plan plan, List<Frame> frames, CarryHistory history, Set<String> edited) {
    Map<String, LightingGroup> groupOf = plan.groupOf();
    List<TimedFrame> day =
        Timeline.of(frames, BodyClocks.offsets(plan.bodies()), new ArrayList<>());
    Map<String, String> sections = sections(plan, day, groupOf);
    Set<String> proposedOut = plan.decisions().keepers().proposedOut();
    Set<String> leftOut = new HashSet<>(plan.decisions().lighting().leftOut());
    Map<String, FrameStanding> standings = new LinkedHashMap<>();
    for (TimedFrame timed : day) {
      String file = timed.frame().file();
      LightingGroup group = groupOf.get(file);
      CarryHistory.State state = Objects.requireNonNull(history.states().get(file), file);
      boolean reference = group != null && group.reference().equals(file);
      boolean touched = state.touched();
      standings.put(
          file,
          new FrameStanding(
              file,
              sections.getOrDefault(file, ""),
              group == null ? "" : group.id(),
              reference,
              out(timed.frame(), state, proposedOut, leftOut),
              reference && graded(file, plan, state, edited),
              state.carried(),
              edited.contains(file) && !reference,
              touched,
              eyes(file, reference, plan)));
    }
    return new Standing(standings, day);
  }

  private static FrameStanding.@Nullable Out out(
      Frame frame, CarryHistory.State state, Set<String> proposedOut, Set<String> leftOut) {
    Double rating = state.rating() == null ? frame.marks().rating() : state.rating();
    if (rating != null && rating < 0) {
      return FrameStanding.Out.REJECTED;
    }
    if (leftOut.contains(frame.file())) {
      return FrameStanding.Out.LEFT_OUT;
    }
    boolean wanted = rating != null && rating > 0;
    return proposedOut.contains(frame.file()) && !wanted ? FrameStanding.Out.PROPOSED_OUT : null;
  }

  /** Whether a reference has its grade: stated, carried as the reference, or made in the editor. */
  private static boolean graded(
      String file, Plan plan, CarryHistory.State state, Set<String> edited) {
    if (plan.decisions().grades().containsKey(file) || edited.contains(file)) {
      return true;
    }
    String carriedFrom = state.recipe().get("Reference");
    return state.carried() && (carriedFrom == null || carriedFrom.equals(file));
  }

  private static List<String> eyes(String file, boolean reference, Plan plan) {
    if (reference) {
      return List.of(); // it is graded by hand
    }
    String unmatched = plan.unmatched().get(file);
    if (unmatched != null) {
      return List.of("no recipe: " + unmatched);
    }
    Match match = plan.matches().get(file);
    return match == null ? List.of() : match.needsEyes();
  }

  /**
   * The section of each frame; a frame without a group stands with the grouped one before it on its
   * body, else on any, as a delivery puts it.
   */
  private static Map<String, String> sections(
      Plan plan, List<TimedFrame> day, Map<String, LightingGroup> groupOf) {
    Map<String, String> sections = new HashMap<>();
    Map<String, String> ofBody = new HashMap<>();
    String last = plan.sections().isEmpty() ? "" : plan.sections().get(0).id();
    for (TimedFrame timed : day) {
      String body = timed.frame().body().id();
      LightingGroup group = groupOf.get(timed.frame().file());
      if (group != null) {
        last = group.section();
        ofBody.put(body, last);
      }
      sections.put(timed.frame().file(), ofBody.getOrDefault(body, last));
    }
    return sections;
  }
}
