package samelight.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.metadata.ShootReading;
import samelight.engine.report.ShootSummary;
import samelight.engine.sidecar.EditMap;

/** Reads a shoot and finds the groups of one light. */
@Command(
    name = "group",
    description = {
      "Read a shoot, find the groups of frames made in the same light, propose a reference for each.",
      "Writes samelight/frames.json, samelight/plan.json and samelight/report.html in the shoot;"
          + " the frames themselves are only read."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight group 2026-06-13-garden --clock B=-247")
final class GroupCommand extends ShootCommand {
  private static final double LONGEST_CLOCK_OFFSET = 4e9;

  @Parameters(paramLabel = "SHOOT", description = "The folder with the frames of one event.")
  @Nullable Path shoot;

  @Option(
      names = "--clock",
      paramLabel = "BODY=SECONDS",
      description =
          "Seconds to add to a body's clock to get the shoot's time; remembered. May be given"
              + " for several bodies.")
  Map<String, Double> clocks = new LinkedHashMap<>();

  @Option(
      names = "--follow",
      paramLabel = "SHARE",
      description =
          "How much of what the light itself did is compensated: 1 lights all frames alike, 0 lets"
              + " an evening grow dark; remembered. What the camera did is always compensated.")
  @Nullable Double follow;

  @Option(
      names = "--edit-map",
      paramLabel = "FILE",
      description =
          "Which properties of your raw editor hold edits, so that frames that you have edited"
              + " already are known and said; remembered.")
  List<Path> editMaps = new ArrayList<>();

  @Option(
      names = "--kept",
      description =
          "Show only what `samelight keepers` proposed to keep, or you rated; all frames stay"
              + " witnesses of the light.")
  boolean kept;

  @Override
  Answer answer() throws IOException {
    List<EditMap> maps = editMaps.stream().map(EditMap::read).toList();
    clocks.forEach(
        (body, seconds) -> {
          if (!(Math.abs(seconds) <= LONGEST_CLOCK_OFFSET)) {
            throw usage(
                "--clock must be a number of seconds such as B=-247, was " + body + "=" + seconds);
          }
        });
    Double share = follow;
    if (share != null && !(share >= 0 && share <= 1)) {
      throw usage("--follow must lie within 0 and 1, was " + share);
    }
    try (ShootWork work = ShootWork.open(java.util.Objects.requireNonNull(shoot));
        ProgressLine line = new ProgressLine(terminal(), "reading frame")) {
      work.recovered().forEach(this::note);
      KeptAnswer keep = kept ? null : KeptAnswer.of(work.paths());
      Answer before = keep == null || decides() ? null : keep.read(common.json);
      if (before != null) {
        return before;
      }
      ShootWork.Grouped grouped =
          work.group(
              d -> (share == null ? d : d.withFollow(share)).withClocks(clocks),
              reading -> {
                refuseUnknownBody(reading);
                work.remember(maps);
              },
              line::at);
      if (grouped.setAside() != null) {
        note("what was kept of an earlier reading was set aside: " + grouped.setAside());
      }
      Answer answer = answer(work, grouped);
      if (keep != null) {
        keep.write(answer);
      }
      return answer;
    }
  }

  private boolean decides() {
    return !clocks.isEmpty() || follow != null || !editMaps.isEmpty();
  }

  private Answer answer(ShootWork work, ShootWork.Grouped grouped) {
    ShootSummary summary = kept ? grouped.summary().kept() : grouped.summary();
    boolean attention = summary.needEyes() > 0 || !summary.findings().isEmpty();
    List<String> lines = new ArrayList<>(SummaryText.of(summary));
    lines.add("");
    lines.add("Report: " + work.paths().root().resolve(ShootWork.REPORT));
    lines.add(
        "Next: look at the report, grade the references in your raw editor, then"
            + " `samelight carry SHOOT --edit-map FILE`;");
    lines.add(
        "      or state grades here: `samelight grade FRAME --ev +0.35 --kelvin 5000`, then"
            + " `samelight carry SHOOT`.");
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("shoot", work.paths().root().toString());
    json.put("report", work.paths().root().resolve(ShootWork.REPORT).toString());
    json.putAll(SummaryJson.of(summary));
    return new Answer(attention ? ExitStatus.ATTENTION : ExitStatus.DONE, lines, json);
  }

  private void refuseUnknownBody(ShootReading reading) {
    TreeSet<String> bodies = new TreeSet<>();
    reading.frames().forEach(f -> bodies.add(f.body().id()));
    for (String body : clocks.keySet()) {
      if (!bodies.contains(body)) {
        throw usage(
            "--clock must name a body of this shoot, one of "
                + String.join(", ", bodies)
                + "; was "
                + body);
      }
    }
  }
}
