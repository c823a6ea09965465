package samelight.engine.report;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Collections;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.frame.SmallImage;
import samelight.engine.report.ReportPage.Chapter;
import samelight.engine.report.ReportPage.Lot;
import samelight.engine.report.ReportPage.Row;
import samelight.engine.report.ReportPage.Shown;

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
    Shown shown = new Shown(text, null, 0, 0, List.of(text), List.of(text));
    Lot lot =
        new Lot(
            "group-1",
            text,
            text,
            1,
            text,
            text,
            text,
            text,
            text,
            text,
            1,
            text,
            true,
            "data:,",
            List.of(shown),
            List.of(shown),
            3);
    return new ReportPage(
        text,
        text,
        List.of(text),
        List.of(new Chapter("section-1", text, text, Collections.nCopies(lots, lot))),
        List.of(new Row(text, 1, text)),
        1,
        List.of(new Row(text, 1, text)),
        List.of(text));
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
                + "\" decoding");
  }

  @Test
  void render_anyPage_loadsNothingFromElsewhere() {
    assertThat(page("x"))
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
}
