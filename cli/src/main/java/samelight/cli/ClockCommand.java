package samelight.cli;

import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;
import samelight.engine.files.RefusedInputException;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.Frame;
import samelight.engine.metadata.ShootReading;
import samelight.engine.store.FrameStore;
import samelight.engine.store.PlanFile;
import samelight.engine.timeline.BodyClock;

/** Sets one body's clock by two frames of one moment. */
@Command(
    name = "clock",
    description = {
      "Set a body's clock by two frames of one moment, such as the first kiss seen by both bodies.",
      "The clock of the second frame's body is set by the first's. The decision is kept and"
          + " outlives the next `samelight group`."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight clock garden/A/IMG_0412.DNG garden/B/DSC_0077.DNG")
final class ClockCommand extends FrameCommand {
  @Parameters(index = "0", paramLabel = "FRAME", description = "A frame of the body that is right.")
  @Nullable Path right;

  @Parameters(
      index = "1",
      paramLabel = "FRAME",
      description = "A frame of the other body, made at the same moment.")
  @Nullable Path other;

  @Override
  Answer answer() {
    try (ShootWork work = around(right)) {
      ShootReading reading = FrameStore.load(work.paths(), false);
      Frame a = find(work.frame(Objects.requireNonNull(right), reading), reading);
      Frame b = find(work.frame(Objects.requireNonNull(other), reading), reading);
      if (a.body().equals(b.body())) {
        throw usage("clock needs frames of two bodies, both were made by " + a.body().id());
      }
      Map<String, Double> offsets = new HashMap<>();
      for (BodyClock c : PlanFile.read(work.paths()).bodies()) {
        offsets.put(c.body().id(), c.offsetSeconds());
      }
      double first = offsets.getOrDefault(a.body().id(), 0.0);
      // to a thousandth: what SubSecTime can say
      double offset = Math.round((seconds(a, work) + first - seconds(b, work)) * 1000) / 1000.0;
      // the first body's clock is what the second was set by: from now on it is stated as well
      Map<String, Double> stated = new HashMap<>();
      stated.put(a.body().id(), first);
      stated.put(b.body().id(), offset);
      ShootWork.Grouped grouped = work.decide(d -> d.withClocks(stated));
      return decided(
          grouped,
          ExitStatus.DONE,
          List.of(
              String.format(
                  Locale.ROOT,
                  "The clock of %s is set by %+.1f s, so that %s and %s are of one moment.",
                  b.body().id(),
                  offset,
                  a.file(),
                  b.file()),
              "Next: look at the report."));
    }
  }

  private static Frame find(String file, ShootReading reading) {
    return reading.frames().stream()
        .filter(f -> f.file().equals(file))
        .findFirst()
        .orElseThrow(() -> new IllegalStateException("no such frame was read: " + file));
  }

  private static double seconds(Frame frame, ShootWork work) {
    CaptureTime time = frame.time();
    if (time == null) {
      throw new RefusedInputException(
          work.paths().root().resolve(frame.file()).toString(),
          "must have a capture time (Exif DateTimeOriginal)",
          "none",
          "Name another frame of that moment");
    }
    return time.localSeconds();
  }
}
