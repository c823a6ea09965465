package samelight.samples;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;
import samelight.samples.day.Trouble;

/** Command line of the generator. */
@Command(
    name = "generate",
    mixinStandardHelpOptions = true,
    description =
        "Makes an invented wedding shoot of real files, and a file with the truth about it.")
public final class Generate implements Callable<Integer> {

  @Option(names = "--frames", defaultValue = "240", description = "How many (${DEFAULT-VALUE}).")
  private int frames;

  @Option(names = "--seed", defaultValue = "1", description = "Any number (${DEFAULT-VALUE}).")
  private long seed;

  @Option(
      names = "--kind",
      defaultValue = "mixed",
      description = "jpeg, dng or mixed (${DEFAULT-VALUE}).")
  private String kind = "mixed";

  @Option(names = "--out", required = true, description = "Folder of the shoot, empty or new.")
  private @Nullable Path out;

  @Option(names = "--truth", required = true, description = "Truth file, outside the shoot, new.")
  private @Nullable Path truth;

  @Option(names = "--bodies", defaultValue = "2", description = "2 or 3 (${DEFAULT-VALUE}).")
  private int bodies;

  @Option(
      names = "--size",
      defaultValue = "480x320",
      description = "Pixels of a picture (${DEFAULT-VALUE}).")
  private String size = "480x320";

  @Option(
      names = "--trouble",
      split = ",",
      description = "lens, backlight, mixed, flicker, banded, duv, filter, profile, spent; or all.")
  private List<String> troubles = new ArrayList<>();

  @Option(
      names = "--extras",
      negatable = true,
      defaultValue = "true",
      fallbackValue = "true",
      description = "Brackets, raw+JPEG pairs, clips and voice notes (on).")
  private boolean extras;

  @Option(names = "--grey-card", description = "A grey card in every frame.")
  private boolean greyCard;

  @Option(names = "--threads", defaultValue = "1", description = "Threads (${DEFAULT-VALUE}).")
  private int threads;

  @Spec private @Nullable CommandSpec spec;

  /** Runs the generator; exits with 0, 2 for wrong usage, 4 if it could not write. */
  public static void main(String[] args) {
    System.exit(new CommandLine(new Generate()).execute(args));
  }

  @Override
  public Integer call() {
    CommandSpec me = java.util.Objects.requireNonNull(spec);
    PrintWriter err = me.commandLine().getErr();
    ShootOptions options;
    try {
      options = options();
    } catch (IllegalArgumentException e) {
      err.println(e.getMessage());
      return 2;
    }
    try {
      SampleShoot.write(
          options, java.util.Objects.requireNonNull(out), java.util.Objects.requireNonNull(truth));
    } catch (IOException e) {
      err.println(e.getMessage());
      return 4;
    }
    me.commandLine().getOut().printf("%d frames in %s, truth in %s%n", frames, out, truth);
    return 0;
  }

  private ShootOptions options() {
    String[] sides = size.split("x", -1);
    if (sides.length != 2 || !sides[0].matches("\\d{1,5}") || !sides[1].matches("\\d{1,5}")) {
      throw new IllegalArgumentException("size must be WIDTHxHEIGHT, got " + size);
    }
    return new ShootOptions(
        seed,
        frames,
        ShootOptions.Kind.of(kind),
        bodies,
        Integer.parseInt(sides[0]),
        Integer.parseInt(sides[1]),
        Trouble.all(troubles),
        extras,
        greyCard,
        threads);
  }
}
