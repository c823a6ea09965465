package samelight.engine.lighting;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import samelight.engine.Analysis;
import samelight.engine.AnalysisOptions;
import samelight.engine.ShootAnalysis;
import samelight.engine.frame.Frame;
import samelight.engine.match.Match;
import samelight.engine.metadata.ReadProgress;
import samelight.engine.metadata.ReadingCache;
import samelight.engine.metadata.ShootReader;
import samelight.engine.timeline.BodyClocks;
import samelight.engine.timeline.TimedFrame;
import samelight.engine.timeline.Timeline;

/**
 * All estimates of rendering side by side over days whose truth is known, {@code -Dtable=FOLDER}:
 * each folder in it holds {@code shoot} and {@code truth.json}. Groups and references are the
 * engine's own for every estimate. The table is left in {@code target/estimates.txt}, first by day,
 * then by trouble, then how well the stated uncertainty holds.
 */
class EstimatesTableTest {
  private static final double MISS = 1.0 / 3;

  /** Residuals of one row of the table, in stops. */
  private static final class Row {
    private final Map<String, List<Double>> left = new LinkedHashMap<>();
    private final List<Double> sure = new ArrayList<>();
    private int frames;
    private int doubted;
    private int unseen;

    void add(String estimate, double residual) {
      left.computeIfAbsent(estimate, e -> new ArrayList<>()).add(residual);
    }
  }

  private final Map<String, Row> days = new TreeMap<>();
  private final Map<String, Row> troubles = new TreeMap<>();
  private final List<Double> stops = new ArrayList<>();
  private final List<Double> mired = new ArrayList<>();

  @Test
  @EnabledIfSystemProperty(named = "table", matches = ".+")
  void sharedContent_beatsBlindCopyingAndSettingsOnEveryDay() throws IOException {
    try (Stream<Path> folders = Files.list(Path.of(System.getProperty("table")))) {
      for (Path day :
          folders.filter(f -> Files.exists(f.resolve("truth.json"))).sorted().toList()) {
        measure(day);
      }
    }
    List<String> lines = new ArrayList<>();
    lines.add(
        "all frames: stops rms by estimate | frames that need no eyes: rms, within 1/6 | share that"
            + " needs eyes | off by 1/3 unseen");
    days.forEach((name, row) -> lines.add(line(name, row)));
    troubles.forEach((name, row) -> lines.add(line(name, row)));
    lines.add(
        String.format(
            Locale.ROOT,
            "stated sigma: stops %.1f %% within one, %.1f %% within two; mired %.1f %%, %.1f %%",
            100 * share(stops, 1),
            100 * share(stops, 2),
            100 * share(mired, 1),
            100 * share(mired, 2)));
    Path report = Path.of("target", "estimates.txt");
    Files.createDirectories(report.getParent());
    Files.write(report, lines, StandardCharsets.UTF_8);
    assertThat(days).isNotEmpty();
    days.forEach(
        (name, row) -> {
          double ours = rms(row.left.getOrDefault("shared content", List.of()));
          for (String estimate : List.of(new BlindCopy().name(), "settings only")) {
            assertThat(ours)
                .as(name + " against " + estimate)
                .isLessThan(rms(row.left.getOrDefault(estimate, List.of())));
          }
        });
  }

  private void measure(Path day) throws IOException {
    List<Frame> frames =
        new ShootReader().read(day.resolve("shoot"), ReadingCache.NONE, ReadProgress.NONE).frames();
    Map<String, JsonNode> truth = new HashMap<>();
    for (JsonNode f :
        new ObjectMapper().readTree(day.resolve("truth.json").toFile()).path("frames")) {
      truth.put(f.path("file").asText(), f);
    }
    Analysis analysis = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    List<TimedFrame> order =
        Timeline.of(frames, BodyClocks.offsets(analysis.bodies()), new ArrayList<>());
    Map<String, Integer> index = new HashMap<>();
    order.forEach(f -> index.put(f.frame().file(), f.index()));
    List<RenderingEstimate> others =
        List.of(new BlindCopy(), new SettingsOnly(order), new BrightnessOnly(order, Map.of()));
    String name = "day " + day.getFileName();
    for (Match m : analysis.matches().values()) {
      JsonNode f = truth.get(m.frame());
      JsonNode r = truth.get(m.reference());
      if (f == null || r == null) {
        continue;
      }
      List<String> words = new ArrayList<>();
      f.path("trouble").forEach(t -> words.add(t.asText()));
      List<Row> rows = new ArrayList<>();
      rows.add(days.computeIfAbsent(name, n -> new Row()));
      for (String word : words.isEmpty() ? List.of("none") : words) {
        rows.add(troubles.computeIfAbsent("trouble " + word, n -> new Row()));
      }
      boolean doubted = !m.needsEyes().isEmpty();
      for (Row row : rows) {
        row.frames++;
        row.doubted += doubted ? 1 : 0;
      }
      if (m.frame().equals(m.reference())) {
        continue;
      }
      double gap = f.path("gain").asDouble() - r.path("gain").asDouble();
      double left = gap + m.stops().stops();
      for (Row row : rows) {
        for (RenderingEstimate e : others) {
          double rendered =
              e.between(at(index, m.frame()), at(index, m.reference())).rendered().stops();
          row.add(e.name(), gap - rendered);
        }
        row.add("shared content", left);
        if (!doubted) {
          row.sure.add(left);
          row.unseen += Math.abs(left) > MISS ? 1 : 0;
        }
      }
      stops.add(Math.abs(left) / m.stopsSigma().stops());
      if (!m.frame().toLowerCase(Locale.ROOT).endsWith(".jpg")) {
        double shift = 1e6 / f.path("cct").asDouble() - 1e6 / r.path("cct").asDouble();
        mired.add(Math.abs(m.mired().value() - shift) / m.miredSigma().value());
      }
    }
  }

  private static int at(Map<String, Integer> index, String file) {
    Integer i = index.get(file);
    if (i == null) {
      throw new IllegalStateException("no such frame: " + file);
    }
    return i;
  }

  private static String line(String name, Row row) {
    StringBuilder out =
        new StringBuilder(String.format(Locale.ROOT, "%-22s %5d frames", name, row.frames));
    row.left.forEach(
        (estimate, left) ->
            out.append(String.format(Locale.ROOT, "  %s %.3f", estimate, rms(left))));
    double within = row.sure.stream().filter(d -> Math.abs(d) <= 1.0 / 6).count();
    out.append(
        String.format(
            Locale.ROOT,
            " | %.3f, %.3f | %.3f | %.4f",
            rms(row.sure),
            row.sure.isEmpty() ? Double.NaN : within / row.sure.size(),
            (double) row.doubted / row.frames,
            (double) row.unseen / row.frames));
    return out.toString();
  }

  private static double rms(List<Double> v) {
    return Math.sqrt(v.stream().mapToDouble(d -> d * d).average().orElse(Double.NaN));
  }

  private static double share(List<Double> ratios, double limit) {
    return ratios.isEmpty()
        ? Double.NaN
        : (double) ratios.stream().filter(r -> r <= limit).count() / ratios.size();
  }
}
