package samelight.cli;

import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.report.Wording;
import samelight.engine.review.Change;

/** Starts a new group at a frame. */
@Command(
    name = "split",
    description = {
      "Start a new group at FRAME: it and the later frames of its group leave the earlier ones.",
      "The decision is kept and outlives the next `samelight group`."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight split 2026-06-13-garden/A/IMG_0412.DNG")
final class SplitCommand extends FrameCommand {
  @Parameters(paramLabel = "FRAME", description = "The first frame of the new group.")
  @Nullable Path frame;

  @Override
  Answer answer() {
    try (ShootWork work = around(frame)) {
      String file = work.frame(java.util.Objects.requireNonNull(frame));
      return decide(
          work,
          new Change.Split(file),
          plan -> {
            LightingGroup group = groupIn(plan, file);
            return List.of(
                "A group starts at "
                    + file
                    + ": "
                    + group.id()
                    + ", "
                    + Wording.count(group.frames().size(), "frame")
                    + ", reference "
                    + group.reference()
                    + ".",
                "Next: look at the report, then grade the new reference.");
          });
    }
  }
}
