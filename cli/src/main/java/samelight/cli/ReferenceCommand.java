package samelight.cli;

import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.review.Change;

/** Makes a frame the reference of its group. */
@Command(
    name = "reference",
    description = {
      "Make FRAME the reference of its group: the frame that is graded by hand.",
      "With --for-body it is the reference of what its own body made there: these frames form a"
          + " group of their own, and each body is graded by itself.",
      "The decision is kept and outlives the next `samelight group`."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight reference 2026-06-13-garden/A/IMG_0412.DNG")
final class ReferenceCommand extends FrameCommand {
  @Parameters(paramLabel = "FRAME", description = "A frame of a shoot that has been grouped.")
  @Nullable Path frame;

  @Option(
      names = "--for-body",
      description = "Only for the frames of the group that FRAME's body made.")
  boolean forBody;

  @Override
  Answer answer() {
    try (ShootWork work = around(frame)) {
      String file = work.frame(java.util.Objects.requireNonNull(frame));
      return decide(
          work,
          forBody ? new Change.BodyReference(file, work.ofBody(file)) : new Change.Reference(file),
          plan ->
              List.of(
                  file + " is the reference of group " + groupIn(plan, file).id() + ".",
                  "Next: grade it in your raw editor, or with `samelight grade`, then carry."));
    }
  }
}
