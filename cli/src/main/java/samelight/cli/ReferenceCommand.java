package samelight.cli;

import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;
import samelight.engine.lighting.LightingGroup;

/** Makes a frame the reference of its group. */
@Command(
    name = "reference",
    description = {
      "Make FRAME the reference of its group: the frame that is graded by hand.",
      "The decision is kept and outlives the next `samelight group`."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight reference 2026-06-13-garden/A/IMG_0412.DNG")
final class ReferenceCommand extends FrameCommand {
  @Parameters(paramLabel = "FRAME", description = "A frame of a shoot that has been grouped.")
  @Nullable Path frame;

  @Override
  Answer answer() {
    try (ShootWork work = around(frame)) {
      String file = work.frame(java.util.Objects.requireNonNull(frame));
      ShootWork.Grouped grouped = work.decide(d -> d.withReference(file));
      LightingGroup group = groupOf(file, grouped.plan());
      if (group == null || !group.reference().equals(file)) {
        String why =
            group == null
                ? "it is in no group (" + grouped.plan().unmatched().get(file) + ")"
                : "group " + group.id() + " keeps " + group.reference();
        return decided(
            grouped, ExitStatus.ATTENTION, List.of(file + " is not a reference: " + why + "."));
      }
      return decided(
          grouped,
          ExitStatus.DONE,
          List.of(
              file + " is the reference of group " + group.id() + ".",
              "Next: grade it in your raw editor, or with `samelight grade`, then carry."));
    }
  }
}
