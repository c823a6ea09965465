package samelight.engine.report;

import gg.jte.output.StringOutput;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import samelight.engine.report.ReportPage.Row;
import samelight.engine.sidecar.CarryPlan;
import samelight.engine.sidecar.CarryResult;
import samelight.engine.sidecar.FrameOutcome;
import samelight.engine.sidecar.HandTouch;

/**
 * What the report says of the last carry. It is put into the finished page, so that a carry of a
 * few frames needn't find the groups again.
 *
 * @param lede in one sentence
 * @param rows what became of the frames, with their number and the names of some
 */
public record CarriedSection(String lede, List<Row> rows) {
  private static final String BEGIN = "<section id=\"carried\"";
  private static final String END = "</section>";
  private static final int NAMED = 20;

  /** The section stands behind the table of contents, in the first megabytes. */
  private static final int MOST_BEFORE = 4 << 20;

  /** Copies its list. */
  public CarriedSection {
    rows = List.copyOf(rows);
  }

  /**
   * What a carry did.
   *
   * @param when when, in words
   */
  public static CarriedSection of(CarryPlan plan, CarryResult result, String when) {
    Map<String, List<String>> byOutcome = new LinkedHashMap<>();
    result.counts().keySet().forEach(outcome -> byOutcome.put(outcome.words(), new ArrayList<>()));
    for (FrameOutcome o : result.outcomes()) {
      byOutcome
          .computeIfAbsent(o.outcome().words(), w -> new ArrayList<>())
          .add(o.frame() + (o.detail().isEmpty() ? "" : " (" + o.detail() + ")"));
    }
    List<Row> rows = new ArrayList<>();
    byOutcome.forEach((what, who) -> rows.add(row(what, who)));
    add(rows, "carried, and need eyes", result.needsEyes());
    add(
        rows,
        "kept as changed by hand",
        result.touches().stream().map(CarriedSection::touch).toList());
    add(
        rows,
        "edited before, as a test of the match",
        plan.matchTests().stream().map(CarriedSection::test).toList());
    add(rows, "sidecars of other renderings, not touched", plan.otherSidecars());
    String id = result.carryId().map(i -> ", carry " + i).orElse("");
    return new CarriedSection("The last carry, " + when + id + ".", rows);
  }

  /** That the last carry was taken back. */
  public static CarriedSection takenBack(String when) {
    return new CarriedSection("The last carry was taken back, " + when + ".", List.of());
  }

  /** A touch of a hand in words. */
  public static String touch(HandTouch t) {
    return t.frame() + " " + t.property().property() + " " + t.words();
  }

  /** How far the match is from what a person did, in words. */
  public static String test(CarryPlan.MatchTest t) {
    return String.format(
        Locale.ROOT,
        "%s: %+.2f EV by hand, %+.2f EV by the match",
        t.frame(),
        t.own().stops(),
        t.matched().stops());
  }

  /** As a part of the page. */
  public String html() {
    StringOutput html = new StringOutput();
    HtmlReport.templates().render("carried.jte", this, html);
    return html.toString().strip();
  }

  /**
   * What a report says of the last carry, as a part of the page.
   *
   * @param report the page; read as far as needed
   * @return empty where it says nothing
   * @throws IOException if it can't be read
   */
  public static Optional<String> in(InputStream report) throws IOException {
    byte[] start = report.readNBytes(MOST_BEFORE);
    String page = new String(start, StandardCharsets.UTF_8);
    int from = page.indexOf(BEGIN);
    int to = from < 0 ? -1 : page.indexOf(END, from);
    return to < 0 ? Optional.empty() : Optional.of(page.substring(from, to + END.length()));
  }

  /**
   * Where to write a report so that it says this of the last carry, whatever it says itself.
   *
   * @param html a part of the page, from {@link #html} or {@link #in}
   */
  public static OutputStream inPlace(OutputStream out, String html) {
    return new SpanReplacement(out, BEGIN, END, html);
  }

  private static void add(List<Row> rows, String what, List<String> who) {
    if (!who.isEmpty()) {
      rows.add(row(what, who));
    }
  }

  private static Row row(String what, List<String> who) {
    String names = String.join(", ", who.subList(0, Math.min(NAMED, who.size())));
    return new Row(
        what,
        who.size(),
        who.size() > NAMED ? names + " and " + (who.size() - NAMED) + " more" : names);
  }
}
