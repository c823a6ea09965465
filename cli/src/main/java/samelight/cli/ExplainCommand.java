package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;
import samelight.engine.FrameLight;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.frame.Frame;
import samelight.engine.match.Match;

/** Says why a match is what it is. */
@Command(
    name = "explain",
    description = "Print value, formula, inputs and source of the match of FRAME.",
    footerHeading = "%nExample:%n",
    footer = "  samelight explain 2026-06-13-garden/A/IMG_0412.DNG")
final class ExplainCommand extends FrameCommand {
  private static final double SAME = 5e-4;

  @Parameters(paramLabel = "FRAME", description = "A frame of a shoot that has been grouped.")
  @Nullable Path frame;

  @Override
  Answer answer() {
    try (ShootWork work = around(frame)) {
      String file = work.frame(Objects.requireNonNull(frame));
      Match planned = samelight.engine.store.PlanFile.read(work.paths()).matches().get(file);
      ShootWork.Grouped grouped = work.again();
      Match match = grouped.analysis().matches().get(file);
      if (match == null) {
        return none(file, grouped);
      }
      List<String> lines = new ArrayList<>();
      Map<String, @Nullable Object> json = SummaryJson.match(match);
      value(match, lines);
      inputs(match, grouped, lines, json);
      reasons(match, lines, json);
      boolean other =
          planned == null || Math.abs(planned.stops().stops() - match.stops().stops()) > SAME;
      if (other) {
        lines.add(
            "plan.json says "
                + (planned == null ? "nothing" : stops(planned.stops().stops()))
                + ": it was made from other frames or decisions. Run `samelight group` again.");
      }
      json.put("planAgrees", !other);
      return new Answer(other ? ExitStatus.ATTENTION : ExitStatus.DONE, lines, json);
    }
  }

  private static Answer none(String file, ShootWork.Grouped grouped) {
    String reason = grouped.analysis().unmatched().get(file);
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("frame", file);
    json.put("unmatched", reason);
    return new Answer(
        ExitStatus.DONE,
        List.of(file + " has no exposure match: " + (reason == null ? "in no group" : reason)),
        json);
  }

  private static void value(Match m, List<String> lines) {
    lines.add(m.frame() + " to its reference " + m.reference());
    lines.add(
        "  match "
            + stops(m.stops().stops())
            + " ± "
            + String.format(Locale.ROOT, "%.3f", m.stopsSigma().stops())
            + ": what is added to the frame so that it renders like its ungraded reference");
    lines.add(
        String.format(
            Locale.ROOT,
            "  colour %+.1f mired ± %.1f, Duv %+.4f: by how much its light is warmer and greener",
            m.mired().value(),
            m.miredSigma().value(),
            m.duv().value()));
    lines.add("  formula: match = (EV100_f - EV100_ref) - (light_f - light_ref)");
    lines.add(
        "         = "
            + stops(m.evidence().settings().stops())
            + " - ("
            + stops(m.evidence().light().stops())
            + ")");
  }

  private static void inputs(
      Match m, ShootWork.Grouped grouped, List<String> lines, Map<String, @Nullable Object> json) {
    json.put("settingsStops", m.evidence().settings().stops());
    json.put("lightStops", m.evidence().light().stops());
    json.put("method", m.evidence().method());
    json.put("witnesses", m.evidence().witnesses());
    json.put("notes", m.evidence().notes());
    List<Map<String, @Nullable Object>> frames = new ArrayList<>();
    for (String file : List.of(m.frame(), m.reference())) {
      for (Frame frame : grouped.reading().frames()) {
        if (frame.file().equals(file)) {
          FrameLight light = grouped.analysis().light().get(file);
          lines.add("  " + file + ": " + settings(frame, light));
          if (file.equals(m.frame())) {
            lines.add("  read from: " + read(frame));
          }
          frames.add(inputs(frame, light));
        }
      }
      if (m.frame().equals(m.reference())) {
        break;
      }
    }
    json.put("inputs", frames);
    around(m.frame(), grouped, lines, json);
    lines.add("  light estimated by: " + m.evidence().method());
    if (!m.evidence().witnesses().isEmpty()) {
      lines.add("  witnesses: " + String.join(", ", m.evidence().witnesses()));
    }
    m.evidence().notes().forEach(note -> lines.add("  " + note));
  }

  /** The same body's light just before and just after the frame's framing. */
  private static void around(
      String file,
      ShootWork.Grouped grouped,
      List<String> lines,
      Map<String, @Nullable Object> json) {
    Map<String, String> bodies = new HashMap<>();
    grouped.reading().frames().forEach(f -> bodies.put(f.file(), f.body().id()));
    List<String> order = grouped.analysis().order();
    for (int step : new int[] {-1, 1}) {
      String word = step < 0 ? "before" : "after";
      int at = order.indexOf(file) + step;
      while (at >= 0 && at < order.size() && !another(file, order.get(at), bodies, grouped)) {
        at += step;
      }
      if (at < 0 || at >= order.size()) {
        continue;
      }
      String other = order.get(at);
      FrameLight light = grouped.analysis().light().get(other);
      var scene = light == null ? null : light.sceneLight();
      lines.add(
          "  "
              + word
              + ": "
              + other
              + (scene == null
                  ? ", scene light unknown"
                  : String.format(Locale.ROOT, ", scene light %.2f", scene.stops())));
      Map<String, @Nullable Object> entry = new LinkedHashMap<>();
      entry.put("file", other);
      entry.put("sceneLight", scene == null ? null : scene.stops());
      json.put(word, entry);
    }
  }

  private static boolean another(
      String file, String other, Map<String, String> bodies, ShootWork.Grouped grouped) {
    Map<String, Integer> framings = grouped.analysis().framings();
    return Objects.equals(bodies.get(file), bodies.get(other))
        && !Objects.equals(framings.get(file), framings.get(other));
  }

  private static String read(Frame frame) {
    return new TreeMap<>(frame.provenance())
        .entrySet().stream()
            .map(e -> e.getKey() + " (" + Plain.text(e.getValue()) + ")")
            .collect(Collectors.joining(", "));
  }

  private static void reasons(Match m, List<String> lines, Map<String, @Nullable Object> json) {
    json.put("needsEyes", m.needsEyes());
    lines.add(
        m.needsEyes().isEmpty()
            ? "  sure enough: needs no eyes"
            : "  needs eyes: " + String.join("; ", m.needsEyes()));
  }

  private static String settings(Frame frame, @Nullable FrameLight light) {
    CaptureSettings s = frame.settings();
    StringBuilder text = new StringBuilder();
    var time = s.exposureTime();
    var fNumber = s.fNumber();
    var iso = s.iso();
    text.append(time == null ? "time unknown" : seconds(time.seconds()));
    text.append(
        fNumber == null
            ? ", f-number unknown"
            : String.format(Locale.ROOT, ", f/%.1f", fNumber.value()));
    text.append(
        iso == null ? ", ISO unknown" : String.format(Locale.ROOT, ", ISO %.0f", iso.value()));
    text.append(frame.flashFired() ? ", flash" : "");
    if (light != null) {
      var ev = light.ev100();
      var scene = light.sceneLight();
      String step = light.step();
      text.append(
          ev == null ? ", EV100 unknown" : String.format(Locale.ROOT, ", EV100 %.2f", ev.stops()));
      text.append(step == null ? "" : " from " + step);
      text.append(
          scene == null
              ? ", scene light unknown"
              : String.format(Locale.ROOT, ", scene light %.2f", scene.stops()));
    }
    return text.toString();
  }

  private static String seconds(double s) {
    return s >= 0.3
        ? String.format(Locale.ROOT, "%.1f s", s)
        : String.format(Locale.ROOT, "1/%.0f s", 1 / s);
  }

  private static Map<String, @Nullable Object> inputs(Frame frame, @Nullable FrameLight light) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    CaptureSettings s = frame.settings();
    json.put("file", frame.file());
    json.put("exposureTimeSeconds", s.exposureTime() == null ? null : s.exposureTime().seconds());
    json.put("fNumber", s.fNumber() == null ? null : s.fNumber().value());
    json.put("iso", s.iso() == null ? null : s.iso().value());
    json.put("flashFired", frame.flashFired());
    json.put("step", light == null ? null : light.step());
    json.put("ev100", light == null || light.ev100() == null ? null : light.ev100().stops());
    json.put(
        "sceneLight",
        light == null || light.sceneLight() == null ? null : light.sceneLight().stops());
    json.put("provenance", new TreeMap<>(frame.provenance()));
    return json;
  }

  private static String stops(double stops) {
    return String.format(Locale.ROOT, "%+.3f stops", stops);
  }
}
