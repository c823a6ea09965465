package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.files.ShootPaths;
import samelight.engine.report.CarriedSection;
import samelight.engine.report.Wording;
import samelight.engine.sidecar.Revert;
import samelight.engine.sidecar.RevertResult;

/** Puts sidecars back as they were before a carry. */
@Command(
    name = "revert",
    description = {
      "Put every sidecar back byte for byte as it was before the last carry; remove those that"
          + " were not there.",
      "A sidecar that was touched since is left alone and said."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight revert 2026-06-13-garden")
final class RevertCommand extends ShootCommand {
  @Parameters(paramLabel = "SHOOT", description = "A shoot to which something was carried.")
  @Nullable Path shoot;

  @Option(names = "--list", description = "List the carries that can be undone, and end.")
  boolean list;

  @Option(names = "--to", paramLabel = "ID", description = "Undo this carry and all later ones.")
  @Nullable String to;

  @Option(
      names = "--over-touches",
      description = "Put back sidecars, too, that were touched since the carry.")
  boolean overTouches;

  @Override
  Answer answer() {
    Path folder = Objects.requireNonNull(shoot);
    if (list) {
      return listed(Revert.list(ShootPaths.of(folder).root()));
    }
    try (ShootWork work = ShootWork.open(folder);
        ProgressLine line = new ProgressLine(terminal(), "sidecar")) {
      work.recovered().forEach(this::note);
      RevertResult result =
          to == null
              ? Revert.last(work.session(), overTouches, line::at)
              : Revert.to(work.session(), to, overTouches, line::at);
      if (!result.carries().isEmpty()) {
        work.tell(CarriedSection.takenBack(Wording.now()));
      }
      return answer(result);
    }
  }

  private static Answer listed(List<Revert.Entry> entries) {
    List<String> lines = new ArrayList<>();
    List<Object> json = new ArrayList<>();
    for (Revert.Entry e : entries) {
      lines.add(
          String.format(
              Locale.ROOT,
              "%s  %s  %s%s",
              e.id(),
              e.at(),
              Wording.count(e.sidecars(), "sidecar"),
              e.undone() ? ", undone" : ""));
      Map<String, Object> entry = new LinkedHashMap<>();
      entry.put("id", e.id());
      entry.put("at", e.at().toString());
      entry.put("sidecars", e.sidecars());
      entry.put("undone", e.undone());
      json.add(entry);
    }
    lines.add(
        entries.isEmpty()
            ? "Nothing was carried here yet."
            : "Next: `samelight revert SHOOT` undoes the last, `--to ID` a carry and all later.");
    return new Answer(ExitStatus.DONE, lines, Map.of("carries", json));
  }

  private static Answer answer(RevertResult result) {
    List<String> lines = new ArrayList<>();
    if (result.carries().isEmpty()) {
      lines.add("Nothing to revert: no carry that isn't undone already.");
    } else {
      lines.add("Reverted: " + String.join(", ", result.carries()));
    }
    // one line for each sidecar, what was left alone last, where it is seen
    for (boolean left : new boolean[] {false, true}) {
      for (RevertResult.Entry e : result.sidecars()) {
        if (left == left(e.what())) {
          lines.add(
              e.sidecar()
                  + ": "
                  + words(e.what())
                  + (e.detail().isEmpty() ? "" : " (" + e.detail() + ")"));
        }
      }
    }
    if (!result.strays().isEmpty()) {
      lines.add(
          "Temporary files of an interrupted command, removed: "
              + String.join(", ", result.strays()));
    }
    result
        .counts()
        .forEach((what, n) -> lines.add(String.format(Locale.ROOT, "  %,6d  %s", n, words(what))));
    lines.add(
        result.counts().containsKey(RevertResult.What.TOUCHED_SINCE)
            ? "Next: look at those that were left; `--over-touches` puts them back too."
            : result.carries().isEmpty()
                ? "Next: `samelight revert SHOOT --list` shows what was carried here."
                : "Next: have your raw editor read the sidecars again.");
    ExitStatus status = ExitStatus.DONE;
    if (result.couldNotWrite()) {
      status = ExitStatus.NOT_WRITTEN;
    } else if (result.counts().containsKey(RevertResult.What.REFUSED)) {
      status = ExitStatus.REFUSED;
    } else if (result.attention()) {
      status = ExitStatus.ATTENTION;
    }
    return new Answer(status, lines, json(result));
  }

  private static Map<String, @Nullable Object> json(RevertResult result) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("carries", result.carries());
    List<Object> sidecars = new ArrayList<>();
    for (RevertResult.Entry e : result.sidecars()) {
      sidecars.add(
          Map.of(
              "sidecar", e.sidecar(),
              "what", e.what().name().toLowerCase(Locale.ROOT),
              "detail", e.detail()));
    }
    json.put("sidecars", sidecars);
    json.put("strayFilesRemoved", result.strays());
    return json;
  }

  private static boolean left(RevertResult.What what) {
    return switch (what) {
      case RESTORED, REMOVED, ALREADY -> false;
      case TOUCHED_SINCE, REFUSED, COULD_NOT_WRITE -> true;
    };
  }

  private static String words(RevertResult.What what) {
    return switch (what) {
      case RESTORED -> "brought back";
      case REMOVED -> "removed, there was none before";
      case ALREADY -> "already as before";
      case TOUCHED_SINCE -> "touched since, left alone";
      case REFUSED -> "refused, not a sidecar inside the shoot";
      case COULD_NOT_WRITE -> "could not be written";
    };
  }
}
