package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.lowagie.text.pdf.PdfReader;
import com.lowagie.text.pdf.parser.PdfTextExtractor;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Keys;
import samelight.samples.SampleExports;

/**
 * What lies beside the pictures of a gallery: the page in a real browser, the sheet by a reader.
 */
class DeliveryPageTest {
  private static final String NAME = "Šaty & <b>lace</b> Φως \"a\"";

  @TempDir static Path folder;
  private static Path gallery;
  private static int pictures;

  @BeforeAll
  static void deliver() throws IOException {
    Path shoot = Shoots.mixed(folder.resolve("shoot"));
    Cli.run("group", shoot);
    List<String> frames = new ArrayList<>();
    Shoots.groups(shoot).forEach(frames::addAll);
    Cli.run("name", shoot.resolve(frames.get(0)), NAME).is(ExitStatus.DONE);
    Path exports = folder.resolve("exports");
    SampleExports.write(
        shoot,
        frames,
        exports,
        Map.of(frames.get(1), Set.of(SampleExports.Mishap.BLACK_AND_WHITE)));
    gallery = folder.resolve("the gallery #1");
    Cli.run("deliver", shoot, "--from", exports, "--to", gallery, "--web", "300")
        .is(ExitStatus.DONE);
    pictures = frames.size() + 1;
  }

  private static String address() {
    return gallery.resolve("index.html").toUri().toString();
  }

  @Test
  void page_showsEveryPictureAndNothingElse() throws IOException {
    assumeTrue(Chromium.available(), Chromium.HOW);
    try (Chromium browser = Chromium.start(1280, 1000)) {
      browser.open(address());
      assertThat(browser.all(".pictures a")).hasSize(pictures);
      assertThat(browser.text("document.querySelector('h2').textContent")).isEqualTo(NAME);
      assertThat(browser.all("h2 b")).isEmpty();
      browser.script(
          "document.querySelectorAll('img').forEach(i => { i.loading = 'eager'; });"
              + "document.querySelectorAll('section').forEach("
              + "s => s.style.contentVisibility = 'visible');");
      browser.until(
          "all small pictures shown",
          () ->
              (Boolean)
                  browser.script(
                      "return [...document.querySelectorAll('.pictures img')]"
                          + ".every(i => i.complete && i.naturalWidth > 0)"));
      assertThat(browser.text("[...document.querySelectorAll('.pictures img')].every(i => i.alt)"))
          .isEqualTo("true");
      assertThat(
              browser.text(
                  "performance.getEntriesByType('resource')"
                      + ".every(r => r.name.startsWith('file:'))"))
          .isEqualTo("true");
      assertThat(browser.wrongByAxe()).isEmpty();
    }
  }

  @Test
  void page_isWalkedByKeys() throws IOException {
    assumeTrue(Chromium.available(), Chromium.HOW);
    try (Chromium browser = Chromium.start(1280, 1000)) {
      browser.open(address());
      browser.script("document.querySelector('.pictures a').focus()");
      browser.type(Keys.ARROW_RIGHT, Keys.ARROW_RIGHT);
      String third =
          browser.text("document.querySelectorAll('.pictures a')[2].getAttribute('href')");
      assertThat(browser.text("document.activeElement.getAttribute('href')")).isEqualTo(third);

      browser.type(Keys.ENTER);
      browser.until(
          "the picture is shown large",
          () ->
              (Boolean)
                  browser.script(
                      "const i = document.querySelector('dialog img');"
                          + "return document.querySelector('dialog').open"
                          + " && i.complete && i.naturalWidth > 0"));
      assertThat(browser.text("document.querySelector('dialog img').src")).endsWith(third);
      assertThat(browser.wrongByAxe()).isEmpty();
      browser.type(Keys.END);
      assertThat(browser.text("document.querySelector('dialog img').src"))
          .isEqualTo(browser.text("[...document.querySelectorAll('.pictures a')].pop().href"));
      browser.type(Keys.ESCAPE);
      browser.until(
          "it is closed",
          () -> (Boolean) browser.script("return !document.querySelector('dialog').open"));
      assertThat(browser.text("document.activeElement.href"))
          .isEqualTo(browser.text("[...document.querySelectorAll('.pictures a')].pop().href"));
    }
  }

  @Test
  void page_onATelephone_isNoWiderThanIt() throws IOException {
    assumeTrue(Chromium.available(), Chromium.HOW);
    try (Chromium browser = Chromium.start(1280, 1000)) {
      browser.device(390, 844);
      browser.open(address());
      assertThat(browser.text("document.documentElement.scrollWidth")).isEqualTo("390");
      assertThat(browser.wrongByAxe()).isEmpty();
    }
  }

  @Test
  void page_letsNoOtherScriptIn() throws IOException {
    assumeTrue(Chromium.available(), Chromium.HOW);
    Path changed = gallery.resolveSibling("changed.html");
    String page = Files.readString(gallery.resolve("index.html"));
    Files.writeString(
        changed,
        page.replace(
            "</footer>",
            "</footer><script>document.title = 'taken over'</script>"
                + "<img src=x onerror=\"document.title = 'taken over'\">"));
    try (Chromium browser = Chromium.start(800, 600)) {
      browser.open(changed.toUri().toString());
      assertThat(browser.text("document.title")).doesNotContain("taken over");
    }
    assertThat(page).doesNotContain("http://").doesNotContain("https://");
  }

  /** Read back by OpenPDF, which shares no code with the library that wrote it. */
  @Test
  void sheet_hasEveryNumberAndName() throws IOException {
    StringBuilder text = new StringBuilder();
    try (PdfReader reader =
        new PdfReader(Files.readAllBytes(gallery.resolve("contact-sheet.pdf")))) {
      PdfTextExtractor extractor = new PdfTextExtractor(reader);
      for (int page = 1; page <= reader.getNumberOfPages(); page++) {
        text.append(extractor.getTextFromPage(page)).append('\n');
        assertThat(reader.getPageSize(page).getWidth()).isBetween(594f, 596f); // A4, ISO 216
      }
    }
    assertThat(text.toString()).contains("Šaty").contains("Φως");
    for (int n = 1; n < pictures; n++) {
      assertThat(text.toString()).contains(String.format("%04d", n));
    }
  }

  @Test
  void webSizes_areSmallerAndPrivate() throws IOException {
    List<String> names = new ArrayList<>();
    Cli.read(gallery.resolve("manifest.json"))
        .path("pictures")
        .forEach(p -> names.add(p.path("name").asText()));
    assertThat(names).hasSize(pictures);
    for (String name : names) {
      Path web = gallery.resolve("web 300").resolve(name);
      var image = javax.imageio.ImageIO.read(web.toFile());
      assertThat(Math.max(image.getWidth(), image.getHeight())).isEqualTo(300);
      String bytes = Files.readString(web, java.nio.charset.StandardCharsets.ISO_8859_1);
      assertThat(bytes).contains("ICC_PROFILE").doesNotContain("MAKERNOTE");
    }
  }
}
