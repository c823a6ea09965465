package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.report.Wording;
import samelight.engine.review.Change;

/** Moves frames to another group. */
@Command(
    name = "move",
    description = {
      "Move FRAMEs to the group of another frame, or to a group of their own.",
      "The decision is kept and outlives the next `samelight group`."
    },
    footerHeading = "%nExample:%n",
    footer =
        "  samelight move garden/A/IMG_0412.DNG garden/A/IMG_0413.DNG --to garden/B/DSC_0077.DNG")
final class MoveCommand extends FrameCommand {
  @Parameters(paramLabel = "FRAME", arity = "1..*", description = "Frames that are to move.")
  List<Path> frames = new ArrayList<>();

  @Option(
      names = "--to",
      paramLabel = "FRAME",
      description = "A frame of the group to move to; without it they form a group of their own.")
  @Nullable Path to;

  @Override
  Answer answer() {
    try (ShootWork work = around(frames.get(0))) {
      List<String> moving = work.frames(frames);
      String goal = to == null ? null : work.frame(Objects.requireNonNull(to));
      return decide(
          work,
          new Change.Move(moving, goal),
          plan -> {
            LightingGroup group = groupIn(plan, moving.get(0));
            return List.of(
                Wording.count(moving.size(), "frame")
                    + " moved to group "
                    + group.id()
                    + ", reference "
                    + group.reference()
                    + ".",
                "Next: look at the report: a frame that shares nothing with its reference needs eyes.");
          });
    }
  }
}
