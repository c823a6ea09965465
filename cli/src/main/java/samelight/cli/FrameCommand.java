package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.report.Wording;
import samelight.engine.review.Change;
import samelight.engine.review.ChangeRefusedException;
import samelight.engine.store.Plan;

/** What the commands share that decide something about a frame. */
abstract class FrameCommand extends ShootCommand {
  /** Opens the shoot around a frame and says what was recovered there. */
  final ShootWork around(@Nullable Path frame) {
    ShootWork work = ShootWork.around(Objects.requireNonNull(frame));
    work.recovered().forEach(this::note);
    return work;
  }

  /** Adds a decision; where it can't be done, says why, and nothing is changed. */
  final Answer decide(ShootWork work, Change change, Function<Plan, List<String>> said) {
    try {
      ShootWork.Changed changed = work.decide(change);
      changed.notes().forEach(this::note);
      return decided(changed.grouped(), ExitStatus.DONE, said.apply(changed.grouped().plan()));
    } catch (ChangeRefusedException e) {
      List<String> why = List.of("Nothing was changed: " + e.getMessage() + ".");
      return new Answer(ExitStatus.ATTENTION, why, Map.of("said", why));
    }
  }

  /** The group that a frame must be in after a decision. */
  static LightingGroup groupIn(Plan plan, String frame) {
    LightingGroup group = groupOf(frame, plan);
    if (group == null) {
      throw new IllegalStateException("decided, but in no group: " + frame);
    }
    return group;
  }

  /** The group of a frame, or null. */
  static @Nullable LightingGroup groupOf(String frame, Plan plan) {
    for (LightingGroup group : plan.groups()) {
      if (group.frames().contains(frame)) {
        return group;
      }
    }
    return null;
  }

  /** The answer of a command that regrouped: what was decided, and how the groups are now. */
  static Answer decided(ShootWork.Grouped grouped, ExitStatus status, List<String> said) {
    List<String> lines = new ArrayList<>(said);
    lines.add(
        String.format(
            java.util.Locale.ROOT,
            "%s in %s now; %s.",
            Wording.count(grouped.summary().frames(), "frame"),
            Wording.count(grouped.summary().groups(), "group"),
            Wording.count(grouped.summary().needEyes(), "frame needs eyes", "frames need eyes")));
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("said", said);
    json.put("groups", grouped.summary().groups());
    json.put("needEyes", grouped.summary().needEyes());
    return new Answer(status, lines, json);
  }
}
