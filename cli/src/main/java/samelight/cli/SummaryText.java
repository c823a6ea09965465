package samelight.cli;

import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Finding;
import samelight.engine.metadata.Category;
import samelight.engine.report.ShootSummary;
import samelight.engine.report.ShootSummary.FrameLine;
import samelight.engine.report.ShootSummary.GroupLine;
import samelight.engine.report.ShootSummary.KelvinRange;
import samelight.engine.report.ShootSummary.SectionLine;
import samelight.engine.timeline.BodyClock;

/** The cluster report for a person at a terminal. */
final class SummaryText {
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("yyyy-MM-dd", Locale.ROOT);
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);
  private static final int FRAMES_NAMED = 3;
  private static final int FINDINGS_NAMED = 12;

  private final List<String> lines = new ArrayList<>();

  private SummaryText() {}

  static List<String> of(ShootSummary summary) {
    SummaryText text = new SummaryText();
    text.head(summary);
    summary.sections().forEach(text::section);
    text.leftOut(summary);
    text.account(summary);
    text.findings(summary.findings());
    return text.lines;
  }

  private void line(String format, @Nullable Object... args) {
    lines.add(String.format(Locale.ROOT, format, args));
  }

  private void head(ShootSummary s) {
    line(
        "%s, %s, %s, %s",
        count(s.frames(), "frame"),
        count(s.bodies().size(), "body", "bodies"),
        count(s.sections().size(), "section"),
        count(s.groups(), "group"));
    for (ShootSummary.BodyLine body : s.bodies()) {
      BodyClock clock = body.clock();
      String serial = clock.body().serial();
      line(
          "  body %s: %s %s%s, %s, clock %+.1f s (%s)",
          clock.body().id(),
          clock.body().make(),
          clock.body().model(),
          serial == null ? "" : ", serial " + serial,
          count(body.frames(), "frame"),
          clock.offsetSeconds(),
          source(clock));
    }
  }

  static String source(BodyClock clock) {
    return switch (clock.source()) {
      case SHOOT -> "gives the shoot its time";
      case STATED -> "as stated";
      case PICTURES ->
          clock.sigmaSeconds() == null
              ? "found from the pictures"
              : String.format(
                  Locale.ROOT, "found from the pictures, ±%.1f s", clock.sigmaSeconds());
      case UNKNOWN -> "its own time, not aligned";
    };
  }

  private void section(SectionLine s) {
    lines.add("");
    line(
        "%s  %s  %s  %s, %s",
        s.id(),
        s.name(),
        span(s.from(), s.to(), true),
        count(s.groups().size(), "group"),
        count(s.frames(), "frame"));
    s.groups().forEach(this::group);
  }

  private void group(GroupLine g) {
    StringBuilder bodies = new StringBuilder();
    g.framesPerBody()
        .forEach((id, n) -> bodies.append(bodies.isEmpty() ? "" : ", ").append(id + " " + n));
    line(
        "  %s  %s  %s (%s)",
        g.id(), span(g.from(), g.to(), false), count(g.frames().size(), "frame"), bodies);
    line(
        "      light %s, white balance %s, %s, %s", light(g), kelvin(g.kelvin()), iso(g), flash(g));
    line(
        "      reference %s%s, spread %s", g.reference(), g.graded() ? " (graded)" : "", spread(g));
    List<FrameLine> doubted = g.needEyes();
    if (!doubted.isEmpty()) {
      line("      %s", needEyes(doubted));
    }
  }

  private static String needEyes(List<FrameLine> doubted) {
    Map<String, Integer> reasons = new LinkedHashMap<>();
    doubted.forEach(f -> f.needsEyes().forEach(r -> reasons.merge(r, 1, Integer::sum)));
    StringBuilder text =
        new StringBuilder(count(doubted.size(), "frame needs eyes", "frames need eyes"));
    text.append(": ");
    String between = "";
    for (int i = 0; i < Math.min(FRAMES_NAMED, doubted.size()); i++) {
      text.append(between).append(doubted.get(i).file());
      between = ", ";
    }
    if (doubted.size() > FRAMES_NAMED) {
      text.append(" and ").append(doubted.size() - FRAMES_NAMED).append(" more");
    }
    between = " (";
    for (Map.Entry<String, Integer> reason : reasons.entrySet()) {
      text.append(between).append(reason.getKey());
      if (reason.getValue() > 1) {
        text.append(" ").append(reason.getValue()).append(" times");
      }
      between = "; ";
    }
    return text.append(reasons.isEmpty() ? "" : ")").toString();
  }

  private void leftOut(ShootSummary s) {
    if (!s.unmatched().isEmpty()) {
      lines.add("");
      line("%s without an exposure match:", count(s.unmatched().size(), "frame"));
      Map<String, List<String>> byReason = new LinkedHashMap<>();
      s.unmatched().forEach((f, r) -> byReason.computeIfAbsent(r, k -> new ArrayList<>()).add(f));
      byReason.forEach((reason, files) -> line("  %s: %s", reason, some(files)));
    }
    if (!s.rejected().isEmpty()) {
      line("%s rated -1, no recipe: %s", count(s.rejected().size(), "frame"), some(s.rejected()));
    }
    if (!s.editedBefore().isEmpty()) {
      line(
          "%s edited before the first carry, left alone: %s",
          count(s.editedBefore().size(), "frame"), some(s.editedBefore()));
    }
  }

  private void account(ShootSummary s) {
    lines.add("");
    line("%s under the shoot, each in one line:", count(s.files(), "file"));
    s.account()
        .forEach(
            (category, n) -> {
              if (n > 0) {
                line("  %,6d  %s%s", n, words(category), named(s, category));
              }
            });
  }

  private static String named(ShootSummary s, Category category) {
    if (category == Category.SIDECAR) {
      return "";
    }
    List<String> files =
        s.notFrames().entrySet().stream()
            .filter(e -> e.getValue() == category)
            .map(Map.Entry::getKey)
            .limit(FRAMES_NAMED + 1L)
            .toList();
    return files.isEmpty()
        ? ""
        : ": "
            + String.join(", ", files.subList(0, Math.min(FRAMES_NAMED, files.size())))
            + (files.size() > FRAMES_NAMED ? ", ..." : "");
  }

  static String words(Category category) {
    return switch (category) {
      case FRAME -> "frames";
      case PAIRED_JPEG -> "JPEGs of raw+JPEG pairs, listed by their raws";
      case VIDEO -> "video clips, not grouped";
      case COMPANION -> "companion files, not grouped";
      case SIDECAR -> "sidecars";
      case UNREADABLE -> "unreadable";
      case OTHER -> "other files";
    };
  }

  private void findings(List<Finding> findings) {
    if (findings.isEmpty()) {
      return;
    }
    lines.add("");
    line("%s:", count(findings.size(), "finding"));
    findings.stream().limit(FINDINGS_NAMED).forEach(f -> line("  %s", f));
    if (findings.size() > FINDINGS_NAMED) {
      line("  and %,d more, all in report.html and in --json", findings.size() - FINDINGS_NAMED);
    }
  }

  private static String light(GroupLine g) {
    var light = g.light();
    var luminance = g.luminance();
    if (light == null || luminance == null) {
      return "unknown";
    }
    return String.format(
        Locale.ROOT,
        "EV100 %.1f (%s cd/m²)",
        light.stops(),
        significant(luminance.candelasPerSquareMetre()));
  }

  private static String kelvin(@Nullable KelvinRange k) {
    if (k == null) {
      return "unknown";
    }
    long low = Math.round(k.low().value() / 10) * 10;
    long high = Math.round(k.high().value() / 10) * 10;
    String median = String.format(Locale.ROOT, "%,d K", Math.round(k.median().value() / 10) * 10);
    return low == high ? median : String.format(Locale.ROOT, "%s (%,d to %,d)", median, low, high);
  }

  private static String iso(GroupLine g) {
    Double low = g.isoLow();
    Double high = g.isoHigh();
    if (low == null || high == null) {
      return "ISO unknown";
    }
    return low.equals(high)
        ? String.format(Locale.ROOT, "ISO %.0f", low)
        : String.format(Locale.ROOT, "ISO %.0f to %.0f", low, high);
  }

  private static String flash(GroupLine g) {
    if (g.flashFired() == 0) {
      return "no flash";
    }
    return g.flashFired() == g.frames().size() ? "flash" : "flash on " + g.flashFired();
  }

  private static String spread(GroupLine g) {
    var spread = g.spread();
    return spread == null ? "unknown" : String.format(Locale.ROOT, "%.2f stops", spread.stops());
  }

  /** Two significant digits. */
  static String significant(double value) {
    if (value >= 10) {
      return String.format(
          Locale.ROOT,
          "%,d",
          Math.round(
              new java.math.BigDecimal(value).round(new java.math.MathContext(2)).doubleValue()));
    }
    return new java.math.BigDecimal(value).round(new java.math.MathContext(2)).toPlainString();
  }

  static String span(@Nullable LocalDateTime from, @Nullable LocalDateTime to, boolean day) {
    if (from == null || to == null) {
      return "no time";
    }
    String text = (day ? DAY.format(from) + " " : "") + TIME.format(from) + " to ";
    boolean sameDay = from.toLocalDate().equals(to.toLocalDate());
    return text + (sameDay ? "" : DAY.format(to) + " ") + TIME.format(to);
  }

  private static String some(List<String> files) {
    String names = String.join(", ", files.subList(0, Math.min(FRAMES_NAMED, files.size())));
    return files.size() > FRAMES_NAMED
        ? names + " and " + (files.size() - FRAMES_NAMED) + " more"
        : names;
  }

  static String count(int n, String one) {
    return count(n, one, one + "s");
  }

  static String count(int n, String one, String many) {
    return String.format(Locale.ROOT, "%,d %s", n, n == 1 ? one : many);
  }
}
