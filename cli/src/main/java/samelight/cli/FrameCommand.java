package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.report.Wording;
import samelight.engine.store.Plan;

/** What the commands share that decide something about a frame. */
abstract class FrameCommand extends ShootCommand {
  /** Opens the shoot around a frame and says what was recovered there. */
  final ShootWork around(@Nullable Path frame) {
    ShootWork work = ShootWork.around(Objects.requireNonNull(frame));
    work.recovered().forEach(this::note);
    return work;
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
