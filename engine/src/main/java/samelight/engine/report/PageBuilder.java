package samelight.engine.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import samelight.engine.keepers.Take;
import samelight.engine.match.Grade;
import samelight.engine.match.Match;
import samelight.engine.metadata.Category;
import samelight.engine.proof.MidTones;
import samelight.engine.report.ReportPage.Also;
import samelight.engine.report.ReportPage.Chapter;
import samelight.engine.report.ReportPage.Fact;
import samelight.engine.report.ReportPage.Lot;
import samelight.engine.report.ReportPage.Row;
import samelight.engine.report.ReportPage.Shown;
import samelight.engine.report.ShootSummary.FrameLine;
import samelight.engine.report.ShootSummary.GroupLine;
import samelight.engine.report.ShootSummary.SectionLine;

/** Puts a page together from a summary: the same for the file and for the live page. */
public final class PageBuilder {
  private static final int MOST_FINDINGS = 2_000;
  private static final int FILES_NAMED = 20;

  private final ShootSummary summary;
  private final Map<String, Integer> ids;
  private final Map<String, Grade> grades;
  private final Pictures pictures;
  private final @Nullable Proofs proofs;
  private final Map<String, Take> takes = new HashMap<>();

  /**
   * A builder.
   *
   * @param summary the shoot
   * @param ids number of each frame
   * @param grades stated grades by reference
   * @param pictures where pictures come from
   * @param proofs for the spread of mid-tones, or null where that isn't known yet
   */
  public PageBuilder(
      ShootSummary summary,
      Map<String, Integer> ids,
      Map<String, Grade> grades,
      Pictures pictures,
      @Nullable Proofs proofs) {
    this.summary = summary;
    this.ids = ids;
    this.grades = grades;
    this.pictures = pictures;
    this.proofs = proofs;
    summary.keepers().takes().forEach(t -> takes.put(t.frame(), t));
  }

  /** The style sheet of both forms of the page. */
  public static String style() {
    try (InputStream in = PageBuilder.class.getResourceAsStream("page.css")) {
      return new String(Objects.requireNonNull(in).readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /**
   * The page.
   *
   * @param chosen which frames of each group are shown, by group id; all where it is missing
   * @param live whether decisions can be made on it; its groups are then without their frames
   */
  public ReportPage page(String title, Map<String, List<FrameLine>> chosen, boolean live) {
    return page(title, chosen, live, TimeLine.of(summary, f -> "f" + id(f), this::anchor));
  }

  private ReportPage page(
      String title, Map<String, List<FrameLine>> chosen, boolean live, TimeLine day) {
    List<Chapter> chapters = new ArrayList<>();
    for (SectionLine section : summary.sections()) {
      List<Lot> lots = new ArrayList<>();
      for (GroupLine group : section.groups()) {
        lots.add(lot(group, live ? null : chosen.getOrDefault(group.id(), group.frames())));
      }
      chapters.add(
          new Chapter(
              "section-" + (chapters.size() + 1),
              section.name(),
              Wording.span(section.from(), section.to(), true),
              section.groups().isEmpty() ? -1 : id(section.groups().get(0).reference()),
              lots));
    }
    return new ReportPage(
        title,
        lede(),
        day,
        chapters,
        KeepersChapter.of(summary, this::anchor, !live),
        account(),
        summary.files(),
        leftOut(),
        findings(),
        live,
        live ? "" : style());
  }

  /** The live page without the marks of its time line, which a decision leaves where they are. */
  public ReportPage changed() {
    return page("", Map.of(), true, TimeLine.bands(summary, this::anchor));
  }

  /** Changes whenever the group does, but not with its number. */
  public String key(GroupLine g) {
    int hash = 17;
    for (FrameLine f : g.frames()) {
      hash = 31 * hash + f.file().hashCode();
      Match m = f.match();
      hash = 31 * hash + (m == null ? 0 : m.stops().hashCode() ^ m.needsEyes().hashCode());
    }
    Grade grade = grades.get(g.reference());
    hash = 31 * hash + (grade == null ? 0 : grade.hashCode());
    return anchor(g) + "-" + id(g.reference()) + "-" + Integer.toHexString(hash);
  }

  /** The anchor of a group: by its first frame, so that it stays when groups are renumbered. */
  public String anchor(GroupLine g) {
    return "group-" + id(g.frames().get(0).file());
  }

  private int id(String file) {
    return ids.getOrDefault(file, -1);
  }

  /** The shoot in one sentence. */
  public String lede() {
    return Wording.count(summary.frames(), "frame")
        + " from "
        + Wording.count(summary.bodies().size(), "body", "bodies")
        + " in "
        + Wording.count(summary.groups(), "group")
        + " of one light. One edit on each of the "
        + Wording.count(summary.groups(), "reference")
        + " does for the rest; "
        + Wording.count(summary.needEyes(), "frame needs eyes", "frames need eyes")
        + ".";
  }

  /**
   * One group.
   *
   * @param frames the frames that are shown, or null to leave them out for now
   */
  public Lot lot(GroupLine g, @Nullable List<FrameLine> frames) {
    List<Shown> eyes = new ArrayList<>();
    List<Shown> sure = new ArrayList<>();
    Map<Integer, List<FrameLine>> doubted = new LinkedHashMap<>();
    int shown = 0;
    FrameLine reference = g.frames().get(0);
    for (FrameLine f : g.frames()) {
      reference = f.file().equals(g.reference()) ? f : reference;
    }
    if (frames != null) {
      for (FrameLine f : frames) {
        shown++;
        if (f.needsEyes().isEmpty()) {
          sure.add(shown(List.of(f)));
        } else {
          doubted.computeIfAbsent(f.framing(), x -> new ArrayList<>()).add(f);
        }
      }
    }
    doubted.values().forEach(framing -> eyes.add(shown(framing)));
    Grade grade = grades.get(g.reference());
    return new Lot(
        anchor(g),
        g.id(),
        key(g),
        Wording.span(g.from(), g.to(), false),
        g.frames().size(),
        Wording.lightLine(g),
        Wording.whiteBalance(g),
        Wording.spread(g),
        frames == null ? List.of() : facts(g),
        g.needEyes().size(),
        reference(reference),
        g.graded(),
        grade == null ? (g.graded() ? "in its sidecar" : "none yet") : words(grade),
        grade == null ? "" : String.format(Locale.ROOT, "%.2f", grade.exposure().stops()),
        grade == null || grade.kelvin() == null
            ? ""
            : String.format(Locale.ROOT, "%.0f", grade.kelvin().value()),
        eyes,
        sure,
        frames == null ? 0 : g.frames().size() - shown,
        frames != null);
  }

  private static String words(Grade grade) {
    var kelvin = grade.kelvin();
    return String.format(Locale.ROOT, "%+.2f EV", grade.exposure().stops())
        + (kelvin == null ? "" : String.format(Locale.ROOT, ", %,.0f K", kelvin.value()));
  }

  private List<Fact> facts(GroupLine g) {
    List<Fact> facts = new ArrayList<>();
    facts.add(new Fact("Light", Wording.lightLine(g)));
    facts.add(new Fact("Measured", Wording.light(g)));
    facts.add(new Fact("White balance", Wording.whiteBalance(g)));
    facts.add(new Fact("Sensitivity", Wording.iso(g)));
    facts.add(new Fact("Flash", Wording.flash(g)));
    facts.add(new Fact("Frames", Wording.perBody(g)));
    facts.add(new Fact("Spread of matches", Wording.spread(g)));
    if (proofs != null) {
      List<MidTones.Spread> spread =
          proofs.spread(g.frames().stream().map(FrameLine::file).toList());
      facts.add(new Fact("Mid-tones as shot", Wording.evenness(spread.get(0))));
      facts.add(new Fact("Mid-tones matched", Wording.evenness(spread.get(1))));
    }
    return facts;
  }

  private Shown reference(FrameLine f) {
    return new Shown(
        id(f.file()),
        "" + id(f.file()),
        f.file(),
        pictures.shot(f.file(), true),
        pictures.matched(f.file(), true),
        List.of(),
        f.needsEyes(),
        List.of(),
        List.of());
  }

  private Shown shown(List<FrameLine> framing) {
    FrameLine f = framing.get(0);
    Match match = f.match();
    List<Also> also = new ArrayList<>();
    StringBuilder all = new StringBuilder().append(id(f.file()));
    for (FrameLine other : framing.subList(1, framing.size())) {
      Match m = other.match();
      all.append(',').append(id(other.file()));
      also.add(
          new Also(
              id(other.file()),
              other.file().substring(other.file().lastIndexOf('/') + 1),
              also(other.file(), m)));
    }
    return new Shown(
        id(f.file()),
        all.toString(),
        f.file(),
        pictures.shot(f.file(), false),
        pictures.matched(f.file(), false),
        match == null ? List.of("no match") : List.of(Wording.stops(match), Wording.mired(match)),
        f.needsEyes(),
        keeping(f.file()),
        also);
  }

  private String also(String file, @Nullable Match match) {
    List<String> said = new ArrayList<>();
    said.add(match == null ? "no match" : Wording.stops(match) + ", " + Wording.mired(match));
    said.addAll(keeping(file));
    return String.join("; ", said);
  }

  /** What the keepers propose for a frame; nothing where there was no choice. */
  private List<String> keeping(String file) {
    Take take = takes.get(file);
    return take == null || (take.ofFraming() == 1 && take.needsEyes().isEmpty())
        ? List.of()
        : List.of(Wording.proposal(take));
  }

  private List<Row> account() {
    List<Row> rows = new ArrayList<>();
    summary
        .account()
        .forEach(
            (category, n) -> {
              if (n > 0) {
                rows.add(new Row(Wording.category(category), n, named(category)));
              }
            });
    return rows;
  }

  private String named(Category category) {
    if (category == Category.SIDECAR) {
      return "";
    }
    List<String> files =
        summary.notFrames().entrySet().stream()
            .filter(e -> e.getValue() == category)
            .map(Map.Entry::getKey)
            .toList();
    return some(files);
  }

  private static String some(List<String> files) {
    String names = String.join(", ", files.subList(0, Math.min(FILES_NAMED, files.size())));
    return files.size() > FILES_NAMED
        ? names + " and " + (files.size() - FILES_NAMED) + " more"
        : names;
  }

  private List<Row> leftOut() {
    Map<String, List<String>> byReason = new LinkedHashMap<>();
    summary
        .unmatched()
        .forEach((file, why) -> byReason.computeIfAbsent(why, w -> new ArrayList<>()).add(file));
    if (!summary.rejected().isEmpty()) {
      byReason.put("rated -1, no recipe", summary.rejected());
    }
    if (!summary.editedBefore().isEmpty()) {
      byReason.put("edited before the first carry, left alone", summary.editedBefore());
    }
    List<Row> rows = new ArrayList<>();
    byReason.forEach((why, files) -> rows.add(new Row(why, files.size(), some(files))));
    return rows;
  }

  private List<String> findings() {
    List<String> lines = new ArrayList<>();
    summary.findings().stream().limit(MOST_FINDINGS).forEach(f -> lines.add(f.toString()));
    if (summary.findings().size() > MOST_FINDINGS) {
      lines.add("and " + (summary.findings().size() - MOST_FINDINGS) + " more, all in frames.json");
    }
    return lines;
  }

  /** Numbers of frames in an order. */
  public static Map<String, Integer> ids(List<String> files) {
    Map<String, Integer> ids = new HashMap<>();
    for (String file : files) {
      ids.put(file, ids.size());
    }
    return ids;
  }
}
