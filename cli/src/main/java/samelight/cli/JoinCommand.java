package samelight.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.report.Wording;
import samelight.engine.review.Change;

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
      return decide(
          work,
          new Change.Join(one, two),
          plan -> {
            LightingGroup group = groupIn(plan, one);
            return List.of(
                "One group now: "
                    + group.id()
                    + ", "
                    + Wording.count(group.frames().size(), "frame")
                    + ", reference "
                    + group.reference()
                    + ".",
                "Next: look at the report, then grade the reference.");
          });
    }
  }
}
