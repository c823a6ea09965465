package samelight.cli;

import java.nio.file.Path;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;
import samelight.engine.review.Change;

/** Names a section. */
@Command(
    name = "name",
    description = {
      "Name the section that FRAME is in, such as Ceremony.",
      "The name is kept and outlives the next `samelight group`."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight name garden/A/IMG_0412.DNG Ceremony")
final class NameCommand extends FrameCommand {
  @Parameters(index = "0", paramLabel = "FRAME", description = "A frame of the section.")
  @Nullable Path frame;

  @Parameters(
      index = "1",
      paramLabel = "NAME",
      description = "Its name; empty for the name that it had by itself.")
  String name = "";

  @Override
  Answer answer() {
    try (ShootWork work = around(frame)) {
      String file = work.frame(Objects.requireNonNull(frame));
      return decide(
          work,
          new Change.NameSection(file, name),
          plan -> {
            String id = groupIn(plan, file).section();
            return plan.sections().stream()
                .filter(s -> s.id().equals(id))
                .map(s -> "Section " + s.id() + " is called " + s.name() + ".")
                .toList();
          });
    }
  }
}
