package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.report.Wording;
import samelight.engine.review.Change;

/** Leaves frames out of all groups. */
@Command(
    name = "leave-out",
    description = {
      "Leave FRAMEs out: they belong to no group and get no recipe.",
      "The decision is kept and outlives the next `samelight group`."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight leave-out garden/A/IMG_0412.DNG")
final class LeaveOutCommand extends FrameCommand {
  @Parameters(paramLabel = "FRAME", arity = "1..*", description = "Frames of one shoot.")
  List<Path> frames = new ArrayList<>();

  @Option(names = "--back", description = "Take frames that were left out back into their groups.")
  boolean back;

  @Override
  Answer answer() {
    try (ShootWork work = around(frames.get(0))) {
      List<String> named = work.frames(frames);
      return decide(
          work,
          back ? new Change.TakeIn(named) : new Change.LeaveOut(named),
          plan ->
              List.of(
                  Wording.count(named.size(), "frame")
                      + (back ? " taken back in." : " left out: no recipe will be written.")));
    }
  }
}
