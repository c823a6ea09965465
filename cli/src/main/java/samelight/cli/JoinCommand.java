package samelight.cli;

import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.report.Wording;
import samelight.engine.store.PhotographerDecisions;
import samelight.engine.store.PlanFile;

/** Makes one group of two. */
@Command(
    name = "join",
    description = {
      "Join the groups of two frames into one.",
      "The decision is kept and outlives the next `samelight group`."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight join garden/A/IMG_0412.DNG garden/B/DSC_0077.DNG")
final class JoinCommand extends FrameCommand {
  @Parameters(index = "0", paramLabel = "FRAME", description = "A frame of one group.")
  @Nullable Path first;

  @Parameters(index = "1", paramLabel = "FRAME", description = "A frame of the other group.")
  @Nullable Path second;

  @Override
  Answer answer() {
    try (ShootWork work = around(first)) {
      String one = work.frame(Objects.requireNonNull(first));
      String two = work.frame(Objects.requireNonNull(second));
      if (one.equals(two)) {
        throw usage("join needs two frames, both were " + one);
      }
      PhotographerDecisions before = PlanFile.read(work.paths()).decisions();
      ShootWork.Grouped grouped = work.decide(d -> d.withJoin(one, two));
      List<String> between =
          apart(one, two, grouped) ? splitsBetween(one, two, grouped) : List.of();
      if (!between.isEmpty()) {
        grouped = work.decide(d -> d.withoutSplits(between));
        note("took back the split at " + String.join(", ", between));
      }
      LightingGroup group = groupOf(one, grouped.plan());
      LightingGroup other = groupOf(two, grouped.plan());
      if (group == null || other == null || !group.id().equals(other.id())) {
        return decided(
            work.decide(d -> before),
            ExitStatus.ATTENTION,
            List.of(
                "The groups of "
                    + one
                    + " and "
                    + two
                    + " are still apart: "
                    + "frames of two kinds of file, or frames without a match, share no group. Nothing was"
                    + " changed."));
      }
      return decided(
          grouped,
          ExitStatus.DONE,
          List.of(
              "One group now: "
                  + group.id()
                  + ", "
                  + Wording.count(group.frames().size(), "frame")
                  + ", reference "
                  + group.reference()
                  + ".",
              "Next: look at the report, then grade the reference."));
    }
  }

  private static boolean apart(String one, String two, ShootWork.Grouped grouped) {
    LightingGroup group = groupOf(one, grouped.plan());
    LightingGroup other = groupOf(two, grouped.plan());
    return group != null && other != null && !group.id().equals(other.id());
  }

  /** Earlier splits that keep the two frames apart: those between them in the order of the day. */
  private static List<String> splitsBetween(String one, String two, ShootWork.Grouped grouped) {
    List<String> order = grouped.analysis().order();
    int first = Math.min(order.indexOf(one), order.indexOf(two));
    int last = Math.max(order.indexOf(one), order.indexOf(two));
    Set<String> between = new HashSet<>(order.subList(first + 1, last + 1));
    LightingGroup group = Objects.requireNonNull(groupOf(one, grouped.plan()));
    return grouped.plan().decisions().lighting().splits().stream()
        .filter(between::contains)
        .filter(
            split -> {
              LightingGroup of = groupOf(split, grouped.plan());
              return of != null && of.section().equals(group.section());
            })
        .toList();
  }
}
