package samelight.engine.report;

import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.TemplateException;
import gg.jte.output.StringOutput;
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
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.SmallImage;
import samelight.engine.match.Grade;
import samelight.engine.report.ReportPage.Lot;
import samelight.engine.report.ReportPage.Picture;
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

  /** How long all pictures of frames may be together, in characters. */
  private static final long MOST_CHARACTERS = 12_500_000;

  /** The same for all references. */
  private static final long MOST_FOR_REFERENCES = 4_000_000;

  private static final float QUALITY = 0.5f;
  private static final float REFERENCE_QUALITY = 0.7f;

  private HtmlReport() {}

  /** Pictures of one frame, as data. */
  private record Pair(@Nullable Picture shot, @Nullable Picture matched) {
    static final Pair NONE = new Pair(null, null);

    long length() {
      long one = shot == null ? 0 : shot.src().length();
      return one + (matched == null ? 0 : matched.src().length());
    }
  }

  /**
   * Makes the page and writes it, UTF-8.
   *
   * @param title name of the shoot
   * @param proofs pictures of the frames
   * @param grades stated grades, by reference
   * @throws IOException if {@code out} does
   */
  public static void write(
      OutputStream out,
      String title,
      ShootSummary summary,
      Proofs proofs,
      Map<String, Grade> grades)
      throws IOException {
    write(out, title, summary, proofs, grades, MOST_CHARACTERS);
  }

  /** As the other, with another bound. */
  static void write(
      OutputStream out,
      String title,
      ShootSummary summary,
      Proofs proofs,
      Map<String, Grade> grades,
      long mostCharacters)
      throws IOException {
    Map<String, List<FrameLine>> chosen = choose(summary, MOST_PICTURED);
    Map<String, Pair> made = make(files(chosen), proofs, Thumbnail.LONGEST, QUALITY, false);
    long characters = made.values().stream().mapToLong(Pair::length).sum();
    if (characters > mostCharacters) {
      chosen = choose(summary, (int) (made.size() * mostCharacters / characters));
    }
    List<String> references = new ArrayList<>();
    summary.sections().forEach(s -> s.groups().forEach(g -> references.add(g.reference())));
    int side = references.size() <= 60 ? 480 : references.size() <= 200 ? 320 : 160;
    Map<String, Pair> large = make(references, proofs, side, REFERENCE_QUALITY, true);
    if (large.values().stream().mapToLong(Pair::length).sum() > MOST_FOR_REFERENCES) {
      large = make(references, proofs, Thumbnail.LONGEST, QUALITY, false);
    }
    PageBuilder builder =
        new PageBuilder(
            summary, PageBuilder.ids(order(summary)), grades, pictures(made, large), proofs);
    render(builder.page(title, chosen, false), out);
  }

  private static Pictures pictures(Map<String, Pair> small, Map<String, Pair> large) {
    return new Pictures() {
      @Override
      public @Nullable Picture shot(String file, boolean isLarge) {
        return (isLarge ? large : small).getOrDefault(file, Pair.NONE).shot();
      }

      @Override
      public @Nullable Picture matched(String file, boolean isLarge) {
        return (isLarge ? large : small).getOrDefault(file, Pair.NONE).matched();
      }
    };
  }

  private static List<String> order(ShootSummary summary) {
    List<String> order = new ArrayList<>();
    summary
        .sections()
        .forEach(s -> s.groups().forEach(g -> g.frames().forEach(f -> order.add(f.file()))));
    return order;
  }

  private static List<String> files(Map<String, List<FrameLine>> chosen) {
    return chosen.values().stream().flatMap(List::stream).map(FrameLine::file).toList();
  }

  /** Lays a page out. */
  public static void render(ReportPage page, OutputStream out) throws IOException {
    render("report.jte", page, out);
  }

  /**
   * Lays any page out.
   *
   * @param template its template
   * @param page what the template takes
   */
  public static void render(String template, Object page, OutputStream out) throws IOException {
    Writer writer = new BufferedWriter(new OutputStreamWriter(out, StandardCharsets.UTF_8));
    try {
      templates().render(template, page, new WriterOutput(writer));
    } catch (TemplateException e) {
      if (e.getCause() instanceof UncheckedIOException broken) {
        throw broken.getCause();
      }
      throw e;
    }
    writer.flush();
  }

  /** One group as a part of the live page. */
  public static String render(Lot lot) {
    StringOutput html = new StringOutput();
    templates().render("lot.jte", Map.of("lot", lot, "live", true), html);
    return html.toString();
  }

  /**
   * A part of the live page.
   *
   * @param part {@code contents}, {@code bands}, {@code brackets}, {@code numbered}, {@code
   *     keepers} or {@code account}
   */
  public static String render(String part, ReportPage page) {
    StringOutput html = new StringOutput();
    templates().render(part + ".jte", page, html);
    return html.toString();
  }

  static TemplateEngine templates() {
    return Templates.ENGINE;
  }

  private static final class Templates {
    static final TemplateEngine ENGINE = make();

    private static TemplateEngine make() {
      TemplateEngine templates =
          TemplateEngine.createPrecompiled(
              null,
              ContentType.Html,
              HtmlReport.class.getClassLoader(),
              "samelight.engine.report.page");
      templates.setBinaryStaticContent(false);
      return templates;
    }
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

  private static Map<String, Pair> make(
      List<String> files, Proofs proofs, int side, float quality, boolean large) {
    int parts = Math.max(1, Math.min(Runtime.getRuntime().availableProcessors(), 8));
    List<Map<String, Pair>> made =
        IntStream.range(0, parts)
            .parallel()
            .mapToObj(
                part -> {
                  int from = (int) ((long) files.size() * part / parts);
                  int to = (int) ((long) files.size() * (part + 1) / parts);
                  Map<String, Pair> own = new HashMap<>();
                  try (Thumbnail.Maker maker = new Thumbnail.Maker(quality)) {
                    for (String file : files.subList(from, to)) {
                      own.put(file, pair(file, proofs, side, large, maker));
                    }
                  }
                  return own;
                })
            .toList();
    Map<String, Pair> all = new HashMap<>();
    made.forEach(all::putAll);
    return all;
  }

  private static Pair pair(
      String file, Proofs proofs, int side, boolean large, Thumbnail.Maker maker) {
    SmallImage shot = large ? proofs.large(file, side) : proofs.shot(file);
    if (shot == null) {
      return Pair.NONE;
    }
    SmallImage even = proofs.changes(file) ? proofs.matched(file, shot) : null;
    int orientation = proofs.orientation(file);
    return new Pair(
        picture(maker.make(shot, orientation, side)),
        even == null || even.equals(shot) ? null : picture(maker.make(even, orientation, side)));
  }

  private static Picture picture(Thumbnail t) {
    return new Picture(t.uri(), t.width(), t.height());
  }
}
