package samelight.engine.report;

import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.TemplateException;
import gg.jte.output.WriterOutput;
import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Frame;
import samelight.engine.frame.SmallImage;
import samelight.engine.match.Match;
import samelight.engine.metadata.Category;
import samelight.engine.report.ReportPage.Chapter;
import samelight.engine.report.ReportPage.Lot;
import samelight.engine.report.ReportPage.Row;
import samelight.engine.report.ReportPage.Shown;
import samelight.engine.report.ShootSummary.FrameLine;
import samelight.engine.report.ShootSummary.GroupLine;
import samelight.engine.report.ShootSummary.SectionLine;

/**
 * Makes {@code report.html}: one file that needs nothing else. Up to {@value #MOST_PICTURED} frames
 * are pictured, fewer where their pictures are large, so that it stays below 20 MB; of larger
 * shoots, references, frames that need eyes and an even choice of the others.
 */
public final class HtmlReport {
  /** How many frames are pictured at most. */
  public static final int MOST_PICTURED = 4_500;

  /** How long all pictures may be together, in characters. */
  private static final long MOST_CHARACTERS = 16_000_000;

  private static final int MOST_FINDINGS = 2_000;
  private static final int FILES_NAMED = 20;
  private static final float QUALITY = 0.6f;

  private final Map<String, Frame> frames = new HashMap<>();
  private final long mostCharacters;
  private Map<String, Thumbnail> thumbnails = Map.of();

  private HtmlReport(List<Frame> all, long mostCharacters) {
    all.forEach(f -> frames.put(f.file(), f));
    this.mostCharacters = mostCharacters;
  }

  /**
   * Makes the page and writes it, UTF-8.
   *
   * @param title name of the shoot
   * @param frames frames with their small images
   * @throws IOException if {@code out} does
   */
  public static void write(OutputStream out, String title, ShootSummary summary, List<Frame> frames)
      throws IOException {
    write(out, title, summary, frames, MOST_CHARACTERS);
  }

  /** As {@link #write(OutputStream, String, ShootSummary, List)}, with another bound. */
  static void write(
      OutputStream out, String title, ShootSummary summary, List<Frame> frames, long mostCharacters)
      throws IOException {
    render(new HtmlReport(frames, mostCharacters).page(title, summary), out);
  }

  /** Lays a page out. */
  static void render(ReportPage page, OutputStream out) throws IOException {
    TemplateEngine templates = templates();
    Writer writer = new BufferedWriter(new OutputStreamWriter(out, StandardCharsets.UTF_8));
    try {
      templates.render("report.jte", page, new WriterOutput(writer));
    } catch (TemplateException e) {
      if (e.getCause() instanceof UncheckedIOException broken) {
        throw broken.getCause();
      }
      throw e;
    }
    writer.flush();
  }

  static TemplateEngine templates() {
    TemplateEngine templates =
        TemplateEngine.createPrecompiled(
            null,
            ContentType.Html,
            HtmlReport.class.getClassLoader(),
            "samelight.engine.report.page");
    templates.setBinaryStaticContent(false);
    return templates;
  }

  private ReportPage page(String title, ShootSummary s) {
    Map<String, List<FrameLine>> pictured = choose(s, MOST_PICTURED);
    thumbnails = thumbnails(pictured);
    long characters = thumbnails.values().stream().mapToLong(t -> t.uri().length()).sum();
    if (characters > mostCharacters) {
      pictured = choose(s, (int) (thumbnails.size() * mostCharacters / characters));
    }
    List<Chapter> chapters = new ArrayList<>();
    int lots = 0;
    for (SectionLine section : s.sections()) {
      List<Lot> of = new ArrayList<>();
      for (GroupLine group : section.groups()) {
        of.add(lot(++lots, group, pictured.getOrDefault(group.id(), List.of())));
      }
      chapters.add(
          new Chapter(
              "section-" + (chapters.size() + 1),
              section.name(),
              Wording.span(section.from(), section.to(), true),
              of));
    }
    return new ReportPage(
        title,
        lede(s),
        s.bodies().stream().map(Wording::body).toList(),
        chapters,
        account(s),
        s.files(),
        leftOut(s),
        findings(s));
  }

  private static String lede(ShootSummary s) {
    return Wording.count(s.frames(), "frame")
        + " from "
        + Wording.count(s.bodies().size(), "body", "bodies")
        + " in "
        + Wording.count(s.groups(), "group")
        + " of one light. One edit on each of the "
        + Wording.count(s.groups(), "reference")
        + " does for the rest; "
        + Wording.count(s.needEyes(), "frame needs eyes", "frames need eyes")
        + ".";
  }

  /** Which frames of each group are pictured: an even share, those that need eyes first. */
  private static Map<String, List<FrameLine>> choose(ShootSummary s, int most) {
    Map<String, List<FrameLine>> chosen = new HashMap<>();
    for (SectionLine section : s.sections()) {
      for (GroupLine group : section.groups()) {
        int all = group.frames().size();
        int room = s.frames() <= most ? all : (int) Math.max(1, (long) all * most / s.frames());
        chosen.put(group.id(), choose(group, room));
      }
    }
    return chosen;
  }

  private static List<FrameLine> choose(GroupLine group, int room) {
    if (room >= group.frames().size()) {
      return group.frames();
    }
    List<FrameLine> eyes = group.needEyes();
    if (eyes.size() >= room) {
      return evenly(eyes, room);
    }
    List<FrameLine> sure = group.frames().stream().filter(f -> f.needsEyes().isEmpty()).toList();
    List<FrameLine> chosen = new ArrayList<>(eyes);
    chosen.addAll(evenly(sure, room - eyes.size()));
    return chosen;
  }

  private static List<FrameLine> evenly(List<FrameLine> frames, int n) {
    return IntStream.range(0, n)
        .mapToObj(i -> frames.get((int) ((long) i * frames.size() / n)))
        .toList();
  }

  private Map<String, Thumbnail> thumbnails(Map<String, List<FrameLine>> pictured) {
    List<String> files =
        pictured.values().stream().flatMap(List::stream).map(FrameLine::file).toList();
    int parts = Math.max(1, Math.min(Runtime.getRuntime().availableProcessors(), 8));
    List<Map<String, Thumbnail>> made =
        IntStream.range(0, parts)
            .parallel()
            .mapToObj(
                part -> {
                  int from = (int) ((long) files.size() * part / parts);
                  int to = (int) ((long) files.size() * (part + 1) / parts);
                  return thumbnails(files.subList(from, to));
                })
            .toList();
    Map<String, Thumbnail> all = new HashMap<>();
    made.forEach(all::putAll);
    return all;
  }

  private Map<String, Thumbnail> thumbnails(List<String> files) {
    Map<String, Thumbnail> made = new HashMap<>();
    try (Thumbnail.Maker maker = new Thumbnail.Maker(QUALITY)) {
      for (String file : files) {
        Frame frame = frames.get(file);
        SmallImage small = frame == null ? null : frame.picture().small();
        if (frame != null && small != null) {
          made.put(file, maker.make(small, frame.picture().orientation()));
        }
      }
    }
    return made;
  }

  private Lot lot(int number, GroupLine g, List<FrameLine> pictured) {
    List<Shown> eyes = new ArrayList<>();
    List<Shown> sure = new ArrayList<>();
    for (FrameLine frame : pictured) {
      (frame.needsEyes().isEmpty() ? sure : eyes).add(shown(frame));
    }
    return new Lot(
        "group-" + number,
        g.id(),
        Wording.span(g.from(), g.to(), false),
        g.frames().size(),
        Wording.light(g),
        Wording.whiteBalance(g),
        Wording.iso(g),
        Wording.flash(g),
        Wording.perBody(g),
        Wording.spread(g),
        g.needEyes().size(),
        g.reference(),
        g.graded(),
        referenceImage(g.reference()),
        eyes,
        sure,
        g.frames().size() - pictured.size());
  }

  private @Nullable String referenceImage(String reference) {
    Thumbnail thumbnail = thumbnails.get(reference);
    if (thumbnail == null) {
      thumbnail = thumbnails(List.of(reference)).get(reference);
    }
    return thumbnail == null ? null : thumbnail.uri();
  }

  private Shown shown(FrameLine frame) {
    Thumbnail thumbnail = thumbnails.get(frame.file());
    Match match = frame.match();
    return new Shown(
        frame.file(),
        thumbnail == null ? null : thumbnail.uri(),
        thumbnail == null ? 0 : thumbnail.width(),
        thumbnail == null ? 0 : thumbnail.height(),
        match == null ? List.of("no match") : List.of(Wording.stops(match), Wording.mired(match)),
        frame.needsEyes());
  }

  private static List<Row> account(ShootSummary s) {
    List<Row> rows = new ArrayList<>();
    s.account()
        .forEach(
            (category, n) -> {
              if (n > 0) {
                rows.add(new Row(Wording.category(category), n, named(s, category)));
              }
            });
    return rows;
  }

  private static String named(ShootSummary s, Category category) {
    if (category == Category.SIDECAR) {
      return "";
    }
    List<String> files =
        s.notFrames().entrySet().stream()
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

  private static List<Row> leftOut(ShootSummary s) {
    Map<String, List<String>> byReason = new LinkedHashMap<>();
    s.unmatched()
        .forEach((file, why) -> byReason.computeIfAbsent(why, w -> new ArrayList<>()).add(file));
    if (!s.rejected().isEmpty()) {
      byReason.put("rated -1, no recipe", s.rejected());
    }
    if (!s.editedBefore().isEmpty()) {
      byReason.put("edited before the first carry, left alone", s.editedBefore());
    }
    List<Row> rows = new ArrayList<>();
    byReason.forEach((why, files) -> rows.add(new Row(why, files.size(), some(files))));
    return rows;
  }

  private static List<String> findings(ShootSummary s) {
    List<String> lines = new ArrayList<>();
    s.findings().stream().limit(MOST_FINDINGS).forEach(f -> lines.add(f.toString()));
    if (s.findings().size() > MOST_FINDINGS) {
      lines.add("and " + (s.findings().size() - MOST_FINDINGS) + " more, all in frames.json");
    }
    return lines;
  }
}
