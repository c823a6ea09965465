package samelight.cli;

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
import samelight.engine.report.ShootSummary.SectionLine;
import samelight.engine.report.Wording;

/** The cluster report for a person at a terminal. */
final class SummaryText {
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
        Wording.count(s.frames(), "frame"),
        Wording.count(s.bodies().size(), "body", "bodies"),
        Wording.count(s.sections().size(), "section"),
        Wording.count(s.groups(), "group"));
    s.bodies().forEach(body -> line("  body %s", Wording.body(body)));
  }

  private void section(SectionLine s) {
    lines.add("");
    line(
        "%s  %s  %s  %s, %s",
        s.id(),
        s.name(),
        Wording.span(s.from(), s.to(), true),
        Wording.count(s.groups().size(), "group"),
        Wording.count(s.frames(), "frame"));
    s.groups().forEach(this::group);
  }

  private void group(GroupLine g) {
    line(
        "  %s  %s  %s (%s)",
        g.id(),
        Wording.span(g.from(), g.to(), false),
        Wording.count(g.frames().size(), "frame"),
        Wording.perBody(g));
    line(
        "      light %s, white balance %s, %s, %s",
        Wording.light(g), Wording.whiteBalance(g), Wording.iso(g), Wording.flash(g));
    line(
        "      reference %s%s, spread %s",
        g.reference(), g.graded() ? " (graded)" : "", Wording.spread(g));
    List<FrameLine> doubted = g.needEyes();
    if (!doubted.isEmpty()) {
      line("      %s", needEyes(doubted));
    }
  }

  private static String needEyes(List<FrameLine> doubted) {
    Map<String, Integer> reasons = new LinkedHashMap<>();
    doubted.forEach(f -> f.needsEyes().forEach(r -> reasons.merge(r, 1, Integer::sum)));
    StringBuilder text =
        new StringBuilder(Wording.count(doubted.size(), "frame needs eyes", "frames need eyes"));
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
      line("%s without an exposure match:", Wording.count(s.unmatched().size(), "frame"));
      Map<String, List<String>> byReason = new LinkedHashMap<>();
      s.unmatched().forEach((f, r) -> byReason.computeIfAbsent(r, k -> new ArrayList<>()).add(f));
      byReason.forEach((reason, files) -> line("  %s: %s", reason, some(files)));
    }
    if (!s.rejected().isEmpty()) {
      line(
          "%s rated -1, no recipe: %s",
          Wording.count(s.rejected().size(), "frame"), some(s.rejected()));
    }
    if (!s.proposedOut().isEmpty()) {
      line(
          "%s proposed out by `keepers`, no recipe: %s",
          Wording.count(s.proposedOut().size(), "frame"),
          some(s.proposedOut().stream().map(t -> t.frame()).toList()));
    }
    if (!s.editedBefore().isEmpty()) {
      line(
          "%s edited before the first carry, left alone: %s",
          Wording.count(s.editedBefore().size(), "frame"), some(s.editedBefore()));
    }
  }

  private void account(ShootSummary s) {
    lines.add("");
    line("%s under the shoot, each in one line:", Wording.count(s.files(), "file"));
    s.account()
        .forEach(
            (category, n) -> {
              if (n > 0) {
                line("  %,6d  %s%s", n, Wording.category(category), named(s, category));
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

  private void findings(List<Finding> findings) {
    if (findings.isEmpty()) {
      return;
    }
    lines.add("");
    line("%s:", Wording.count(findings.size(), "finding"));
    findings.stream().limit(FINDINGS_NAMED).forEach(f -> line("  %s", f));
    if (findings.size() > FINDINGS_NAMED) {
      line("  and %,d more, all in report.html and in --json", findings.size() - FINDINGS_NAMED);
    }
  }

  private static String some(List<String> files) {
    String names = String.join(", ", files.subList(0, Math.min(FRAMES_NAMED, files.size())));
    return files.size() > FRAMES_NAMED
        ? names + " and " + (files.size() - FRAMES_NAMED) + " more"
        : names;
  }
}
