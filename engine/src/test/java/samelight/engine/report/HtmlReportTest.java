package samelight.engine.report;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.frame.Frame;
import samelight.engine.frame.SmallImage;
import samelight.engine.keepers.Keeping;
import samelight.engine.keepers.MustHave;
import samelight.engine.keepers.Take;
import samelight.engine.report.ReportPage.Chapter;
import samelight.engine.report.ReportPage.Lot;
import samelight.engine.report.ReportPage.Row;
import samelight.engine.report.ReportPage.Shown;
import samelight.engine.report.ShootSummary.FrameLine;
import samelight.engine.report.ShootSummary.GroupLine;
import samelight.engine.report.ShootSummary.SectionLine;
import samelight.engine.testing.FrameBuilder;

class HtmlReportTest {
  private static String page(String text) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try {
      HtmlReport.render(page(text, 1), out);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return out.toString(StandardCharsets.UTF_8);
  }

  private static ReportPage page(String text, int lots) {
    ReportPage.Picture picture = new ReportPage.Picture("data:,", 1, 1);
    Shown shown =
        new Shown(
            1,
            "1",
            text,
            picture,
            picture,
            List.of(text),
            List.of(text),
            List.of(text),
            List.of(new ReportPage.Also(2, text, text)));
    Lot lot =
        new Lot(
            "group-1",
            text,
            "key",
            text,
            1,
            text,
            text,
            text,
            List.of(new ReportPage.Fact(text, text)),
            1,
            shown,
            true,
            text,
            "",
            "",
            List.of(shown),
            List.of(shown),
            3,
            true);
    TimeLine.Band band = new TimeLine.Band(1, 400, 0, "group-1", "", text, text, false);
    TimeLine day =
        new TimeLine(
            List.of(new TimeLine.Mark(1, 1, 0, "f1", text, true, true, true)),
            List.of(),
            List.of(band),
            List.of(band),
            List.of(new TimeLine.Tick(1, text)),
            List.of(new TimeLine.Tick(1, text)),
            List.of(),
            List.of(),
            List.of(new TimeLine.Clock(1, 2, text)),
            List.of(new TimeLine.Body(0, text)),
            1);
    return new ReportPage(
        text,
        text,
        day,
        List.of(new Chapter("section-1", text, text, 1, Collections.nCopies(lots, lot))),
        chapter(text),
        List.of(new Row(text, 1, text)),
        1,
        List.of(new Row(text, 1, text)),
        List.of(text),
        false,
        PageBuilder.style());
  }

  private static KeepersChapter chapter(String text) {
    KeepersChapter.Proposed proposed =
        new KeepersChapter.Proposed(text, "group-1", true, text, text, text, text);
    return new KeepersChapter(
        text,
        List.of(
            new KeepersChapter.Part(
                text, 1, 1, 1, 0, 0, List.of(new KeepersChapter.Choice(List.of(proposed))))),
        List.of(text));
  }

  /** Frames that need no eyes, in groups of ten, with pictures that compress badly. */
  private static String report(int n, long mostCharacters, Keeping keepers) throws IOException {
    Random random = new Random(1);
    List<Frame> frames = new ArrayList<>();
    List<GroupLine> groups = new ArrayList<>();
    for (int g = 0; g < n / 10; g++) {
      List<FrameLine> lines = new ArrayList<>();
      for (int i = 0; i < 10; i++) {
        byte[] rgb = new byte[96 * 64 * 3];
        random.nextBytes(rgb);
        Frame frame =
            FrameBuilder.frame(g + "/" + i + ".DNG").small(new SmallImage(96, 64, rgb)).build();
        frames.add(frame);
        lines.add(new FrameLine(frame.file(), "body", null, null, null, null, false, i));
      }
      String reference = lines.get(0).file();
      groups.add(
          new GroupLine(
              "g" + g,
              null,
              null,
              reference,
              false,
              lines,
              new TreeMap<>(),
              null,
              null,
              null,
              null,
              null,
              0,
              null));
    }
    ShootSummary summary =
        new ShootSummary(
            n,
            List.of(),
            List.of(new SectionLine("s1", "Section 1", null, null, groups)),
            Map.of(),
            List.of(),
            List.of(),
            Map.of(),
            new TreeMap<>(),
            List.of(),
            keepers);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    Proofs proofs = new Proofs(frames, Map.of(), Map.of(), Map.of(), f -> null);
    HtmlReport.write(out, "title", summary, proofs, Map.of(), mostCharacters);
    return out.toString(StandardCharsets.UTF_8);
  }

  @Test
  void write_picturesTooLargeForThePage_picturesFewerInEachGroup() throws IOException {
    String whole = report(200, Long.MAX_VALUE, Keeping.NONE);
    String bounded = report(200, whole.length() / 3, Keeping.NONE);

    assertThat(whole).contains("<p class=\"name\">").doesNotContain("more frames are not pictured");
    assertThat(bounded.length()).isLessThan(whole.length() / 2);
    assertThat(bounded.split("more frames are not pictured here", -1)).hasSize(21);
    for (int g = 0; g < 20; g++) {
      assertThat(bounded).contains("Reference <b>" + g + "/0.DNG</b>");
    }
  }

  private static Take take(String frame, boolean keep, String reason, String eyes) {
    boolean alone = !frame.startsWith("0/");
    return new Take(
        frame,
        alone ? frame : "0/0.DNG",
        alone ? 1 : 2,
        keep,
        keep ? null : "0/0.DNG",
        reason,
        eyes,
        keep ? 1 : 0.62,
        keep,
        0.034,
        alone ? null : -0.24);
  }

  @Test
  void write_keepersWereAsked_saysWithFiguresWhatIsProposed() throws IOException {
    LocalDateTime time = LocalDateTime.of(2027, 6, 12, 15, 40);
    Keeping keeping =
        new Keeping(
            1,
            List.of(new MustHave("grandmother & the couple", time, time.plusMinutes(15))),
            List.of(
                take("0/0.DNG", true, "the best of 2 alike", ""),
                take("0/1.DNG", false, "similar to 0.DNG, softer (62 % of its sharpness)", ""),
                take("1/0.DNG", true, "alone in its framing", "softer than most of the shoot"),
                take("1/1.DNG", true, "alone in its framing", ""),
                take("9/ungrouped.DNG", true, "alone in its framing", "soft")));

    String page = report(20, Long.MAX_VALUE, keeping);

    assertThat(page)
        .contains(
            "5 frames in 4 framings: propose to keep 4, to leave out 1; 2 kept frames need eyes.")
        .contains("<th scope=\"row\">In no group</th>", "<th scope=\"row\">9/ungrouped.DNG</th>")
        .contains(
            "<th scope=\"row\">Section 1</th><td class=\"number\">4</td><td class=\"number\">3</td>")
        .contains("grandmother &amp; the couple, 2027-06-12 15:40 to 2027-06-12 15:55")
        .contains(
            "<a href=\"#group-0\">0/1.DNG</a></th><td>propose to leave out: similar to 0.DNG,"
                + " softer (62 % of its sharpness)</td><td class=\"number\">62 %</td>"
                + "<td class=\"number\">3.4 %</td><td class=\"number\">-0.2 stop</td>")
        .contains("<td class=\"number\">100 % at its focus point</td>")
        .contains("look: softer than most of the shoot</td>")
        .doesNotContain("1/1.DNG</a>")
        .containsPattern(
            "0/</span> 1.DNG</p>[^l]*<p class=\"match\">no match</p>\\s*<p class=\"keeping\">propose"
                + " to leave out: similar to 0.DNG");
    assertThat(page.split("class=\"keeping\"", -1)).hasSize(4);
  }

  @Test
  void write_keepersWereNotAsked_leavesThemOut() throws IOException {
    assertThat(report(10, Long.MAX_VALUE, Keeping.NONE))
        .contains("<section id=\"keepers\">")
        .doesNotContain("Which to keep")
        .doesNotContain("class=\"keeping\"");
  }

  @Test
  void reduced_largeImage_keepsMeansAndProportions() {
    byte[] rgb = new byte[300 * 200 * 3];
    for (int i = 0; i < rgb.length; i++) {
      rgb[i] = (byte) (i / 3 % 2 == 0 ? 250 : 50);
    }
    SmallImage reduced = Thumbnail.reduced(new SmallImage(300, 200, rgb), Thumbnail.LONGEST);

    assertThat(reduced.width()).isEqualTo(100);
    assertThat(reduced.height()).isEqualTo(67);
    double mean = 0;
    for (int x = 0; x < 100; x++) {
      mean += reduced.code(x, 20, 1) / 100.0;
    }
    assertThat(mean).isCloseTo(150, org.assertj.core.api.Assertions.within(0.5));
    SmallImage small = new SmallImage(1, 1, new byte[3]);
    assertThat(Thumbnail.reduced(small, Thumbnail.LONGEST)).isSameAs(small);
  }

  @Test
  void render_frameInAFolder_setsItsNameApart() {
    assertThat(page("one/two/IMG_0001.JPG"))
        .contains("<span class=\"folder\">one/two/</span> IMG_0001.JPG</p>");
  }

  @Test
  void render_largePage_isWrittenInPieces() throws IOException {
    AtomicInteger largest = new AtomicInteger();
    AtomicLong all = new AtomicLong();
    OutputStream out =
        new OutputStream() {
          @Override
          public void write(int b) {
            all.incrementAndGet();
          }

          @Override
          public void write(byte[] b, int from, int length) {
            largest.accumulateAndGet(length, Math::max);
            all.addAndGet(length);
          }
        };

    HtmlReport.render(page("x", 2_000), out);

    assertThat(all.get()).isGreaterThan(1_000_000);
    assertThat(largest.get()).isLessThan(100_000);
  }

  @Test
  void render_streamBreaks_throwsWhatTheStreamThrew() {
    OutputStream broken =
        new OutputStream() {
          @Override
          public void write(int b) throws IOException {
            throw new IOException("No space left on device");
          }
        };

    assertThatThrownBy(() -> HtmlReport.render(page("x", 50), broken))
        .isInstanceOf(IOException.class)
        .hasMessage("No space left on device");
  }

  private static String carried(String text) {
    CarriedSection section = new CarriedSection(text, List.of(new Row(text, 1, text)));
    return put(page("harmless"), section.html());
  }

  /** In pieces of seven bytes, so that what is looked for comes in parts. */
  private static String put(String page, String html) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (OutputStream whole = CarriedSection.inPlace(out, html)) {
      byte[] bytes = page.getBytes(StandardCharsets.UTF_8);
      for (int i = 0; i < bytes.length; i += 7) {
        whole.write(bytes, i, Math.min(7, bytes.length - i));
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return out.toString(StandardCharsets.UTF_8);
  }

  private static String in(String page) {
    try {
      return CarriedSection.in(
              new java.io.ByteArrayInputStream(page.getBytes(StandardCharsets.UTF_8)))
          .orElse("none");
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"<script>alert(1)</script>", "</section><b>", "\"><img src=x onerror=y>"})
  void html_textWithMarkup_showsItAsText(String text) {
    assertThat(carried(text).chars().filter(c -> c == '<').count())
        .isEqualTo(carried("harmless").chars().filter(c -> c == '<').count());
  }

  @Test
  void inPlace_twice_replacesWhatWasThere() {
    String once = carried("account 0001");
    CarriedSection second = new CarriedSection("account 0002", List.of());
    String twice = put(once, second.html());
    assertThat(twice)
        .contains("account 0002")
        .doesNotContain("account 0001")
        .containsOnlyOnce("id=\"carried\"");
    assertThat(in(twice)).isEqualTo(second.html());
    assertThat(put(page("harmless"), in(twice))).isEqualTo(twice);
    assertThat(put(twice, "<section id=\"carried\" hidden></section>")).isEqualTo(page("harmless"));
    assertThat(in("damaged <section id=\"carried\" and no end")).isEqualTo("none");
    assertThat(put("<section <section id=\"carried\"><</section></section>", "x"))
        .isEqualTo("<section x</section>");
  }

  /** The page with this text, less the page with a harmless one, has no more markup. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "<script>alert(1)</script>",
        "\"><img src=x onerror=alert(1)>",
        "' onmouseover='alert(1)",
        "</title><script>x</script>",
        "javascript:alert(1)",
        "<!-- --><style>*{display:none}</style>",
        "&lt;&#60;",
      })
  void render_textWithMarkup_showsItAsText(String text) {
    String page = page(text);

    assertThat(page.chars().filter(c -> c == '<').count())
        .isEqualTo(page("harmless").chars().filter(c -> c == '<').count());
    assertThat(page).doesNotContain("<script").doesNotContain("<img src=x");
    assertThat(page)
        .contains(
            "alt=\"Reference "
                + text.replace("&", "&amp;")
                    .replace("<", "&lt;")
                    .replace("\"", "&#34;")
                    .replace("'", "&#39;")
                + " as shot\" width");
  }

  @Test
  void render_anyPage_loadsNothingFromElsewhere() {
    assertThat(page("x").replace("url(#hatch)", ""))
        .contains("default-src 'none'")
        .doesNotContain("http://")
        .doesNotContain("https://")
        .doesNotContain("url(")
        .doesNotContain("@import");
  }

  /**
   * Where the first pixel of the stored image lies when upright (Exif 2.2, Orientation: 1 top-left,
   * 2 top-right, 3 bottom-right, 4 bottom-left, 5 left-top, 6 right-top, 7 right-bottom, 8
   * left-bottom).
   */
  @ParameterizedTest
  @CsvSource({
    "1,0,0", "2,2,0", "3,2,1", "4,0,1", "5,0,0", "6,1,0", "7,1,2", "8,0,2",
  })
  void upright_orientation_movesTheFirstPixelThere(int orientation, int x, int y) {
    byte[] rgb = new byte[3 * 2 * 3];
    rgb[0] = (byte) 250;

    BufferedImage upright = Thumbnail.upright(new SmallImage(3, 2, rgb), orientation);

    assertThat(upright.getRGB(x, y) & 0xFFFFFF).isEqualTo(250 << 16);
    assertThat(upright.getWidth()).isEqualTo(orientation >= 5 ? 2 : 3);
  }

  @Test
  void upright_secondPixelOfTheRow_goesTheWayTheOrientationSays() {
    byte[] rgb = new byte[3 * 2 * 3];
    rgb[3] = (byte) 250;

    assertThat(Thumbnail.upright(new SmallImage(3, 2, rgb), 6).getRGB(1, 1) & 0xFFFFFF)
        .isEqualTo(250 << 16);
    assertThat(Thumbnail.upright(new SmallImage(3, 2, rgb), 8).getRGB(0, 1) & 0xFFFFFF)
        .isEqualTo(250 << 16);
  }

  @Test
  void band_withoutRoomForItsName_isNumberedAndNamedBelow() {
    // eight units of the picture's width for a letter
    TimeLine.Band wide = section(1, "Ceremony", 80);
    TimeLine.Band narrow = section(2, "Ceremony", 30);
    TimeLine.Band thin = section(3, "Ceremony", 4);
    TimeLine.Band plain = section(4, "Section 4", 30);
    assertThat(wide.fitting()).isEqualTo("Ceremony");
    assertThat(narrow.fitting()).isEqualTo("2");
    assertThat(thin.fitting()).isEmpty();
    TimeLine day =
        new TimeLine(
            List.of(),
            List.of(),
            List.of(),
            List.of(wide, narrow, thin, plain),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            1);
    assertThat(day.numbered()).containsExactly(narrow, thin);
  }

  private static TimeLine.Band section(int number, String name, int width) {
    return new TimeLine.Band(
        0, width, 0, "section-" + number, String.valueOf(number), name, name, false);
  }
}
