package samelight.engine.delivery;

import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.store.Plan;
import samelight.engine.timeline.TimedFrame;

/**
 * Which frames are to be delivered, and the section of each. Kept is what the plan holds, less what
 * was left out, what keepers propose out and nobody rated, and what a person rated -1. Frames that
 * are in no group, such as brackets, are delivered where they were exported, and are not missed;
 * they go to the section of the frame before them.
 */
final class Kept {
  private final Map<String, String> section = new LinkedHashMap<>();
  private final Map<String, String> out = new HashMap<>();
  private final Set<String> missed = new HashSet<>();

  private Kept() {}

  /**
   * Finds them.
   *
   * @param day all frames in the order of the day, sidecars' ratings included
   */
  static Kept of(Plan plan, List<TimedFrame> day) {
    Kept kept = new Kept();
    Map<String, LightingGroup> groups = plan.groupOf();
    Set<String> left = Set.copyOf(plan.decisions().lighting().leftOut());
    Set<String> proposed = plan.decisions().keepers().proposedOut();
    Map<String, String> lastOfBody = new HashMap<>();
    String last = plan.sections().isEmpty() ? "" : plan.sections().get(0).id();
    for (TimedFrame timed : day) {
      Frame f = timed.frame();
      LightingGroup group = groups.get(f.file());
      String id = group != null ? group.section() : lastOfBody.getOrDefault(f.body().id(), last);
      if (group != null) {
        lastOfBody.put(f.body().id(), id);
        last = id;
      }
      if (left.contains(f.file())) {
        kept.out.put(f.file(), "left out by you");
      } else if (f.marks().rejected()) {
        kept.out.put(f.file(), "rated -1");
      } else if (proposed.contains(f.file()) && !f.marks().rated()) {
        kept.out.put(f.file(), "proposed out by keepers");
      } else {
        kept.section.put(f.file(), id);
        if (group != null) {
          kept.missed.add(f.file());
        }
      }
    }
    return kept;
  }

  /** Frames to deliver in the order of the day, with the id of their section. */
  Map<String, String> sections() {
    return section;
  }

  /** Whether a frame needs an export. */
  boolean missed(String frame) {
    return missed.contains(frame);
  }

  /** Why a frame isn't delivered, or empty. */
  String whyOut(String frame) {
    return out.getOrDefault(frame, "");
  }
}
