package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.SortedMap;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Keys;

/** The review page in a real browser, over a generated shoot. */
class ReviewPageTest {
  @TempDir static Path grouped;
  @TempDir Path folder;

  private static Chromium browser;
  private Path shoot;
  private ReviewDesk desk;
  private ReviewServer server;

  @BeforeAll
  static void start() throws IOException {
    assumeTrue(Chromium.available(), Chromium.HOW);
    Path shoot = Shoots.mixed(grouped.resolve("shoot"));
    Cli.run("group", shoot);
    browser = Chromium.start(1280, 1000);
  }

  @AfterAll
  static void end() {
    if (browser != null) {
      browser.close();
    }
  }

  @BeforeEach
  void open() throws IOException {
    shoot = folder.resolve("shoot");
    Shoots.copy(grouped.resolve("shoot"), shoot);
    serve();
    browser.review(server.address());
  }

  private void serve() throws IOException {
    desk = ReviewDesk.open(shoot, List.of());
    server = ReviewServer.start(desk);
  }

  @AfterEach
  void close() {
    server.stop();
  }

  /** Number of a frame on the page: its place in the reading. */
  private String number(String frame) {
    return String.valueOf(desk.shown().ids().get(frame));
  }

  /** A group of raws with several frames, the largest but n. */
  private JsonNode group(int n) throws IOException {
    List<JsonNode> raws = new java.util.ArrayList<>();
    for (JsonNode g : Shoots.plan(shoot).path("groups")) {
      if (g.path("reference").asText().endsWith(".DNG")) {
        raws.add(g);
      }
    }
    raws.sort((a, b) -> b.path("frames").size() - a.path("frames").size());
    return raws.get(n);
  }

  private static String frame(JsonNode group, int n) {
    return group.path("frames").path(n).asText();
  }

  private static String last(JsonNode group) {
    return frame(group, group.path("frames").size() - 1);
  }

  /** Goes to a frame by its mark or its group, as a click does. */
  private void goTo(String frame) throws IOException {
    String id = number(frame);
    String reference = number(Shoots.groupOf(shoot, frame).path("reference").asText());
    browser.script(
        "document.querySelector('article[data-reference=\"' + arguments[0] + '\"]')"
            + ".scrollIntoView()",
        reference);
    browser.until(
        "frame " + id + " is on the page",
        () ->
            Boolean.TRUE.equals(
                browser.script("return !!document.getElementById('f' + arguments[0])", id)));
    browser.script(
        "const li = document.getElementById('f' + arguments[0]).closest('[data-frames]');"
            + "if (li !== document.activeElement) li.click()",
        id);
  }

  private void choose(String select, String reference) {
    browser.script(
        "document.querySelector(arguments[0]).value = arguments[1]", select, number(reference));
  }

  private void does(String what, String says) {
    browser.click("[data-do=" + what + "]");
    browser.says(says);
  }

  @Test
  void pick_frame_isTheReferenceInThePlanBeforeThePageSaysSo() throws IOException {
    JsonNode group = group(0);
    String frame =
        last(group).equals(group.path("reference").asText()) ? frame(group, 0) : last(group);
    goTo(frame);
    does("reference", "It is the reference now.");
    assertThat(Shoots.groupOf(shoot, frame).path("reference").asText()).isEqualTo(frame);
    assertThat(browser.text("document.body.dataset.took")).matches("\\d+");
  }

  @Test
  void split_join_undo_redo_changeThePlanAndThePage() throws IOException {
    JsonNode group = group(0);
    int groups = Shoots.plan(shoot).path("groups").size();
    String at = last(group);
    goTo(at);
    does("split", "A group begins here.");
    assertThat(Shoots.groupOf(shoot, at).path("frames")).hasSize(1);
    assertThat(browser.all("article.lot")).hasSize(groups + 1);
    does("undo", "Undone.");
    assertThat(Shoots.plan(shoot).path("groups")).hasSize(groups);
    does("redo", "Done again.");
    assertThat(Shoots.plan(shoot).path("groups")).hasSize(groups + 1);
    goTo(at);
    choose("#target", Shoots.groupOf(shoot, frame(group, 0)).path("reference").asText());
    does("join", "One group now.");
    assertThat(Shoots.groupOf(shoot, at)).isEqualTo(Shoots.groupOf(shoot, frame(group, 0)));
    assertThat(browser.all("article.lot")).hasSize(groups);
  }

  @Test
  void move_andLeaveOut_putFramesWhereTheyAreMeantToBe() throws IOException {
    String frame = last(group(0));
    String to = group(1).path("reference").asText();
    goTo(frame);
    choose("#target", to);
    does("move", "Moved.");
    assertThat(Shoots.groupOf(shoot, frame)).isEqualTo(Shoots.groupOf(shoot, to));
    goTo(frame);
    does("leaveOut", "Left out");
    assertThat(Shoots.plan(shoot).path("unmatched").findValuesAsText("frame")).contains(frame);
    assertThat(browser.text("document.querySelector('main').innerText"))
        .contains("left out by you");
    String places = "m => all.filter(o => o !== m).map(o => o[1] + ' ' + o[2] + ' ' + o[3]).sort()";
    assertThat(browser.script(DRAWN))
        .isEqualTo(mark(frame, "m => [...new Set((" + places + ")(m))].join()"));
    does("undo", "Undone.");
    assertThat(Shoots.groupOf(shoot, frame)).isEqualTo(Shoots.groupOf(shoot, to));
  }

  @Test
  void grade_twoNumbers_areStatedAndTheProofsFollow() throws IOException {
    String reference = group(0).path("reference").asText();
    goTo(reference);
    String before =
        browser.text("document.activeElement.closest('article').querySelector('.facts').innerHTML");
    browser.script(
        "document.querySelector('#ev').value = '1'; document.querySelector('#kelvin').value = '4000'");
    browser.click("#gradeform button[type=submit]");
    browser.says("The grade is stated");
    JsonNode grade = Shoots.plan(shoot).path("decisions").path("grades").path(0);
    assertThat(grade.path("ev").asDouble()).isEqualTo(1);
    assertThat(grade.path("kelvin").asDouble()).isEqualTo(4000);
    String lot = "article[data-reference='" + number(reference) + "']";
    assertThat(browser.one(lot + " .grade").getText()).isEqualTo("+1.00 EV, 4,000 K");
    assertThat(before).doesNotContain("4,000 K");
    // the mean code value of the reference, as shot and with one stop more
    String mean =
        "const load = async (how) => {"
            + " const img = new Image(); img.src = '/picture/"
            + number(reference)
            + "/small/' + how;"
            + " await img.decode(); const c = document.createElement('canvas');"
            + " c.width = img.width; c.height = img.height; const x = c.getContext('2d');"
            + " x.drawImage(img, 0, 0); const d = x.getImageData(0, 0, c.width, c.height).data;"
            + " let s = 0; for (let i = 1; i < d.length; i += 4) s += d[i];"
            + " return s / (d.length / 4); };"
            + "window.means = null;"
            + "Promise.all([load('shot'), load('matched')]).then(m => window.means = m);";
    browser.script(mean);
    browser.until("pictures", () -> browser.script("return window.means") != null);
    List<?> means =
        (List<?>) java.util.Objects.requireNonNull(browser.script("return window.means"));
    assertThat(((Number) means.get(1)).doubleValue())
        .isGreaterThan(((Number) means.get(0)).doubleValue() + 15);
  }

  @Test
  void carry_afterASummary_thenRevert_bringsTheFolderBack() throws IOException {
    SortedMap<String, List<Byte>> before = Shoots.contents(shoot);
    goTo(group(0).path("reference").asText());
    browser.script("document.querySelector('#ev').value = '0.5'");
    browser.click("#gradeform button[type=submit]");
    browser.says("The grade is stated");
    browser.click("[data-do=carry]");
    browser.until("summary", () -> browser.one("#carrybox").isDisplayed());
    assertThat(browser.one("#carrytext").getText()).contains("would be written");
    assertThat(Shoots.contents(shoot)).isEqualTo(before);
    browser.click("[data-do=carryNow]");
    browser.says("written");
    assertThat(Shoots.files(shoot).stream().filter(f -> f.endsWith(".xmp")))
        .hasSizeGreaterThanOrEqualTo(group(0).path("frames").size());
    browser.click("[data-do=revert]");
    browser.says("Reverted");
    assertThat(Shoots.contents(shoot)).isEqualTo(before);
  }

  @Test
  void keyboard_alone_doesAll() throws IOException {
    browser.type(Keys.ARROW_RIGHT);
    browser.until(
        "a frame has the focus", () -> browser.text("document.activeElement.id").startsWith("f"));
    browser.type(Keys.ARROW_RIGHT);
    browser.type("?");
    assertThat(browser.one("#keys").isDisplayed()).isTrue();
    browser.type("?");
    String frame =
        desk.shown()
            .files()
            .get(
                Integer.parseInt(
                    browser.text("document.activeElement.dataset.frames.split(',')[0]")));
    browser.type("a");
    browser.says("It is the reference now.");
    assertThat(Shoots.groupOf(shoot, frame).path("reference").asText()).isEqualTo(frame);
    browser.type("o");
    browser.says("group of their own");
    assertThat(Shoots.groupOf(shoot, frame).path("frames")).hasSize(1);
    browser.control("z");
    browser.says("Undone.");
    browser.control("y");
    browser.says("Done again.");
    browser.type("g");
    browser.type("0.3", Keys.ENTER);
    browser.says("The grade is stated");
    browser.type(Keys.ESCAPE);
    browser.type("n");
    browser.control("a");
    browser.type("Garden", Keys.ENTER);
    browser.says("Named.");
    assertThat(Shoots.plan(shoot).path("sections").findValuesAsText("name")).contains("Garden");
    browser.type(Keys.ESCAPE);
    String even = "return document.activeElement.closest('article').querySelector('.even').checked";
    Object before = browser.script(even);
    browser.type("v");
    assertThat(browser.script(even)).isNotEqualTo(before);
    browser.type("k");
    browser.type(Keys.ARROW_RIGHT);
    browser.until("both lie side by side", () -> browser.one("#compare").isDisplayed());
  }

  /** Places and shapes of all marks that are drawn. */
  private static final String DRAWN =
      "return [...new Set([...document.querySelectorAll('#marks [data-shape]')].flatMap(p =>"
          + " [...p.getAttribute('d').matchAll(/M(\\d+ \\d+)/g)]"
          + ".map(m => m[1] + ' ' + p.dataset.shape)))].sort().join()";

  /** Something of a frame's mark: number, x, y, shape, eyes, words; {@code all} are all marks. */
  private String mark(String frame, String of) {
    return String.valueOf(
        browser.later(
            "const done = arguments[arguments.length - 1];"
                + "fetch('/marks').then(a => a.json()).then(({marks: all}) => done(("
                + of
                + ")(all.find(m => m[0] === "
                + number(frame)
                + "))));"));
  }

  private List<String> rings() {
    String d = browser.text("document.querySelector('#marks .ring').getAttribute('d')");
    return java.util.Arrays.stream(d.split("(?=M)"))
        .map(r -> r.replaceFirst("m-6.5.*", "m-6.5"))
        .toList();
  }

  @Test
  void chosenFrames_elsewhere_leaveTheReferenceToTheFrameThatIsLookedAt() throws IOException {
    JsonNode group = group(0);
    List<String> others = new java.util.ArrayList<>();
    group.path("frames").forEach(f -> others.add(f.asText()));
    others.remove(group.path("reference").asText());
    goTo(others.get(0));
    browser.type(" ");
    assertThat(browser.one("#chosen").getText()).matches("\\d+ chosen");
    String chosen = browser.text("document.activeElement.dataset.frames");
    others.removeIf(f -> List.of(chosen.split(",", -1)).contains(number(f)));
    goTo(others.get(others.size() - 1));
    String looked = browser.text("document.activeElement.dataset.frames.split(',')[0]");
    String before = // the other group is the one before, until another is picked
        browser.text(
            "(l => l.indexOf(document.activeElement.closest('article')))"
                + "([...document.querySelectorAll('article.lot')])");
    int at = Integer.parseInt(before);
    assertThat(browser.text("document.querySelector('#target').selectedIndex"))
        .isEqualTo(String.valueOf(at == 0 ? 1 : at - 1));
    does("reference", "It is the reference now.");
    String reference = desk.shown().files().get(Integer.parseInt(looked));
    assertThat(Shoots.groupOf(shoot, reference).path("reference").asText()).isEqualTo(reference);
  }

  @Test
  void timeLine_afterDecisions_showsReferencesAndNamesAsTheyAreNow() throws IOException {
    String of = "m => 'M' + m[1] + ' ' + m[2] + 'm-6.5'";
    JsonNode group = group(0);
    String old = mark(group.path("reference").asText(), of);
    int at = 0;
    while (mark(frame(group, at), of).equals(old)) {
      at++; // marks of one moment and light lie on each other
    }
    goTo(frame(group, at));
    List<String> before = rings();
    does("reference", "It is the reference now.");
    List<String> expected = new java.util.ArrayList<>();
    for (JsonNode g : Shoots.plan(shoot).path("groups")) {
      expected.add(mark(g.path("reference").asText(), of));
    }
    assertThat(rings()).hasSameElementsAs(expected).isNotEqualTo(before);
    // as somebody types it: with the focus, so that nothing that comes in changes it
    browser.script(
        "const name = document.querySelector('#sectionname'); name.focus(); name.value = 'Garden'");
    does("name", "Named.");
    assertThat(browser.text("document.querySelector('#sections').innerHTML")).contains("Garden, ");
  }

  @Test
  void mark_ofAGroupOutOfSight_saysItsFrameAndLeadsThere() throws IOException {
    String far = last(group(3));
    String event =
        "const at = new DOMPoint("
            + mark(far, "m => m[1] + ', ' + m[2]")
            + ").matrixTransform(document.querySelector('.paper svg').getScreenCTM());"
            + "document.querySelector('.paper svg').dispatchEvent(new PointerEvent(arguments[0],"
            + " {bubbles: true, clientX: at.x, clientY: at.y}));";
    // frames of one moment and light lie on each other: the first of them is meant
    String name = mark(far, "m => all.find(o => o[1] === m[1] && o[2] === m[2])[5]");
    int id = Integer.parseInt(mark(far, "m => all.find(o => o[1] === m[1] && o[2] === m[2])[0]"));
    browser.script(event, "pointermove");
    assertThat(browser.one("#readout").getText()).isEqualTo(name);
    browser.script(event, "click");
    browser.until(
        "the frame has the focus",
        () ->
            browser
                .text("document.activeElement.dataset.frames || ''")
                .matches("(.*,)?" + id + "(,.*)?"));
  }

  @Test
  void conflict_commandMeanwhile_isShownAndNothingIsOverwritten() throws IOException {
    String frame = last(group(0));
    goTo(frame);
    Cli.run("name", shoot.resolve(frame), "By a command").is(ExitStatus.DONE);
    byte[] plan = Files.readAllBytes(shoot.resolve("samelight/plan.json"));
    does("split", "a command changed the plan meanwhile");
    assertThat(shoot.resolve("samelight/plan.json")).hasBinaryContent(plan);
    browser.until(
        "the page shows the plan as it is",
        () ->
            browser.text("document.querySelector('#groups')?.innerText").contains("By a command"));
  }

  @Test
  void names_hostile_showAsText() throws IOException {
    String evil =
        "\"><img src=x onerror=\"document.title='evil'\"><script>document.title='evil'</script>"
            + "javascript:alert(1) \u202Egnp.exe "
            + "x".repeat(9_000);
    goTo(last(group(0)));
    browser.script("document.querySelector('#sectionname').value = arguments[0]", evil);
    does("name", "Named.");
    assertThat(Shoots.plan(shoot).path("sections").findValuesAsText("name")).contains(evil);
    assertThat(browser.text("document.querySelector('#groups').textContent")).contains(evil);
    server.stop();
    serve();
    browser.review(server.address());
    assertThat(browser.text("document.querySelector('#groups').textContent")).contains(evil);
    assertThat(browser.text("document.title")).doesNotContain("evil");
    assertThat(browser.script("return document.documentElement.scrollWidth <= innerWidth"))
        .isEqualTo(true);
  }

  @Test
  void killed_afterADecision_losesNothing() throws IOException {
    goTo(last(group(0)));
    does("split", "A group begins here.");
    byte[] plan = Files.readAllBytes(shoot.resolve("samelight/plan.json"));
    server.stop(); // no farewell to the desk
    serve();
    assertThat(shoot.resolve("samelight/plan.json")).hasBinaryContent(plan);
    assertThat(desk.shown().plan().decisions().lighting().splits()).hasSize(1);
  }

  @Test
  void page_byAxe_hasNothingWrong() throws IOException {
    goTo(last(group(0)));
    assertThat(browser.wrongByAxe()).isEmpty();
  }

  @Test
  void page_wideAsAPhone_needsNoSidewaysScrolling() throws IOException {
    try (Chromium phone = Chromium.start(500, 800)) {
      phone.device(360, 740);
      phone.review(server.address());
      assertThat(phone.script("return document.documentElement.scrollWidth <= innerWidth"))
          .isEqualTo(true);
      phone.click("article.lot .even");
      phone.click("[data-do=keys]");
      assertThat(phone.one("#keys").isDisplayed()).isTrue();
    }
  }

  @Test
  void report_fromDiskWithoutANetwork_showsAllAndPassesAxe() throws IOException {
    try (Chromium alone =
        Chromium.start(
            1200, 900, "--host-resolver-rules=MAP * ~NOTFOUND", "--proxy-server=127.0.0.1:1")) {
      alone.open(shoot.resolve("samelight/report.html").toUri().toString());
      assertThat(
              alone.script(
                  "return [...document.images].filter(i => i.loading !== 'lazy').every(i => i.complete)"))
          .isEqualTo(true);
      assertThat(alone.all("#marks a").size()).isGreaterThan(30);
      // a window that has just been opened may lose the focus once more
      alone.until(
          "the words at the mark in focus",
          () ->
              "block"
                  .equals(
                      alone.script(
                          "document.querySelector('#marks a').focus();return"
                              + " getComputedStyle(document.querySelector('#marks a .says')).display")));
      alone.click("article.lot:has(.frames .matched) .even");
      assertThat(
              alone.script(
                  "const lot = document.querySelector('article.lot:has(.frames .matched)');"
                      + "return getComputedStyle(lot.querySelector('.frames .matched')).display"))
          .isEqualTo("block");
      assertThat(alone.wrongByAxe()).isEmpty();
    }
  }
}
