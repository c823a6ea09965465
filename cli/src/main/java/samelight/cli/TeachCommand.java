package samelight.cli;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.sidecar.EditMap;
import samelight.engine.sidecar.FileKind;
import samelight.engine.sidecar.Teach;

/** Makes an edit map from examples. */
@Command(
    name = "teach",
    description = {
      "Make an edit map from sidecars that you save with your raw editor: one frame before and"
          + " after a change that you state. Nothing is known of any editor beforehand.",
      "If the editor keeps its edits in a database, have it save the metadata out first. If it"
          + " keeps them inside the DNG or JPEG, give these files: grades are then read from"
          + " there; originals are never written."
    },
    footerHeading = "%nExample:%n",
    footer = {
      "  samelight teach --exposure +1 a.xmp b.xmp --exposure +2 a.xmp c.xmp \\",
      "      --kelvin 5000:6000 d.xmp e.xmp --stays a.xmp crop.xmp \\",
      "      --untouched u.xmp v.xmp --out my-editor.json"
    })
final class TeachCommand extends ShootCommand {
  private static final int TRIPLE = 3;

  @Option(
      names = "--exposure",
      arity = "3",
      paramLabel = "STOPS BEFORE AFTER",
      hideParamSyntax = true,
      description =
          "Exposure raised by STOPS (such as +1, or 0.5:1.5 for from and to) between two files;"
              + " again for a second step.")
  List<String> exposure = new ArrayList<>();

  @Option(
      names = "--kelvin",
      arity = "3",
      paramLabel = "FROM:TO BEFORE AFTER",
      hideParamSyntax = true,
      description = "White balance changed, in kelvin; again for a second step.")
  List<String> kelvin = new ArrayList<>();

  @Option(
      names = "--duv",
      arity = "3",
      paramLabel = "FROM:TO BEFORE AFTER",
      hideParamSyntax = true,
      description = "Tint changed, in Duv (+ is green); again for a second step.")
  List<String> duv = new ArrayList<>();

  @Option(
      names = "--stays",
      arity = "2",
      paramLabel = "BEFORE AFTER",
      hideParamSyntax = true,
      description = "A crop or a local touch, which must stay with its own frame.")
  List<Path> stays = new ArrayList<>();

  @Option(
      names = "--untouched",
      arity = "2",
      paramLabel = "A B",
      hideParamSyntax = true,
      description = "Sidecars of two frames that nobody edited.")
  List<Path> untouched = new ArrayList<>();

  @Option(
      names = "--for",
      paramLabel = "raw|jpeg",
      description = "The kind of file that these edits are for; both where not given.")
  @Nullable FileKind kind;

  @Option(
      names = "--exposure-limits",
      paramLabel = "MIN:MAX",
      description = "Lowest and highest number that the editor takes as exposure.")
  @Nullable String exposureLimits;

  @Option(
      names = "--kelvin-limits",
      paramLabel = "MIN:MAX",
      description = "Lowest and highest number that the editor takes as white balance.")
  @Nullable String kelvinLimits;

  @Option(names = "--out", required = true, paramLabel = "FILE", description = "The new edit map.")
  @Nullable Path out;

  @Override
  Answer answer() {
    Path file = java.util.Objects.requireNonNull(out);
    if (Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
      throw new RefusedInputException(
          file.toString(), "must not exist yet", "a file", "Name another, or remove it");
    }
    if (exposure.isEmpty()) {
      throw usage("--exposure is needed: one frame's sidecar before and after");
    }
    if (untouched.size() > 2) {
      throw usage("--untouched takes two files, once; was given " + untouched.size());
    }
    Teach.Taught taught =
        Teach.learn(
            new Teach.Lessons(
                kind,
                steps("--exposure", exposure),
                steps("--kelvin", kelvin),
                steps("--duv", duv),
                pairs(stays),
                untouched.isEmpty() ? null : new Teach.Pair(untouched.get(0), untouched.get(1)),
                limits("--exposure-limits", exposureLimits),
                limits("--kelvin-limits", kelvinLimits)));
    EditMap map = taught.map();
    DurableFile.write(file.toAbsolutePath(), map.toJson().getBytes(StandardCharsets.UTF_8));
    List<String> lines = new ArrayList<>();
    lines.add("Wrote " + file + ":");
    taught.notes().forEach(n -> lines.add("  " + n));
    map.stays().forEach(p -> lines.add("  stays with its frame: " + p));
    lines.add(
        "Next: read it, then `samelight carry SHOOT --edit-map " + file + " --dry-run` on a copy.");
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("editMap", file.toString());
    json.put("id", map.id());
    json.put("notes", taught.notes());
    json.put("stays", map.stays().stream().map(Object::toString).toList());
    return new Answer(ExitStatus.DONE, lines, json);
  }

  private List<Teach.Step> steps(String option, List<String> given) {
    List<Teach.Step> steps = new ArrayList<>();
    for (int i = 0; i + 2 < given.size(); i += TRIPLE) {
      double[] range = range(option, given.get(i), option.equals("--exposure"));
      try {
        steps.add(
            new Teach.Step(
                range[0], range[1], Path.of(given.get(i + 1)), Path.of(given.get(i + 2))));
      } catch (IllegalArgumentException e) {
        throw usage(option + ": " + e.getMessage());
      }
    }
    return steps;
  }

  private Teach.@Nullable Limits limits(String option, @Nullable String given) {
    if (given == null) {
      return null;
    }
    double[] range = range(option, given, false);
    if (!(range[0] < range[1])) {
      throw usage(option + " must go from a lower to a higher number, was " + given);
    }
    return new Teach.Limits(range[0], range[1]);
  }

  private double[] range(String option, String given, boolean alone) {
    int colon = given.indexOf(':');
    try {
      if (colon > 0) {
        return new double[] {
          Double.parseDouble(given.substring(0, colon)),
          Double.parseDouble(given.substring(colon + 1))
        };
      }
      if (alone) {
        return new double[] {0, Double.parseDouble(given)};
      }
    } catch (NumberFormatException e) {
      throw usage(option + " must be numbers, was " + given);
    }
    throw usage(option + " must be FROM:TO, was " + given);
  }

  private static List<Teach.Pair> pairs(List<Path> given) {
    List<Teach.Pair> pairs = new ArrayList<>();
    for (int i = 0; i + 1 < given.size(); i += 2) {
      pairs.add(new Teach.Pair(given.get(i), given.get(i + 1)));
    }
    return pairs;
  }
}
