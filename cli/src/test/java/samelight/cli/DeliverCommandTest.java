package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.copies.Sums;
import samelight.engine.delivery.DeliveryLog;
import samelight.samples.SampleExports;
import samelight.samples.SampleExports.Mishap;

class DeliverCommandTest {
  @TempDir static Path made;
  private static Path grouped;
  private static List<String> frames;

  @TempDir Path folder;
  private Path shoot;
  private Path exports;
  private Path gallery;

  @BeforeAll
  static void group() throws IOException {
    grouped = Shoots.mixed(made.resolve("shoot"));
    Cli.run("group", grouped);
    frames = new ArrayList<>();
    for (List<String> group : Shoots.groups(grouped)) {
      frames.addAll(group);
    }
  }

  @BeforeEach
  void copy() throws IOException {
    shoot = folder.resolve("shoot");
    Shoots.copy(grouped, shoot);
    exports = folder.resolve("exports");
    gallery = folder.resolve("gallery");
  }

  private void export(Map<String, Set<Mishap>> mishaps) throws IOException {
    SampleExports.write(shoot, frames, exports, mishaps);
  }

  private Cli.Result deliver(Object... more) {
    List<Object> words =
        new ArrayList<>(List.of("deliver", shoot, "--from", exports, "--to", gallery, "--no-page"));
    words.addAll(List.of(more));
    return Cli.run(words.toArray());
  }

  private Cli.Result deliverWithPage(Object... more) {
    List<Object> words =
        new ArrayList<>(List.of("deliver", shoot, "--from", exports, "--to", gallery));
    words.addAll(List.of(more));
    return Cli.run(words.toArray());
  }

  private static List<String> list(Path top) throws IOException {
    try (Stream<Path> files = Files.walk(top)) {
      return files
          .filter(Files::isRegularFile)
          .map(f -> top.relativize(f).toString().replace('\\', '/'))
          .sorted()
          .toList();
    }
  }

  private static int[] pixels(Path file) throws IOException {
    BufferedImage image = ImageIO.read(file.toFile());
    return image.getRGB(0, 0, image.getWidth(), image.getHeight(), null, 0, image.getWidth());
  }

  @Test
  void everything_isDeliveredOnceInTheOrderOfTheDay() throws IOException {
    export(Map.of(frames.get(3), Set.of(Mishap.BLACK_AND_WHITE)));

    JsonNode json = deliver("--json").is(ExitStatus.DONE).json();

    assertThat(json.path("files").size()).isEqualTo(frames.size() + 1);
    Set<String> seen = new HashSet<>();
    String lastName = "";
    String lastFile = "";
    for (JsonNode file : json.path("files")) {
      String name = file.path("name").asText();
      assertThat(name).matches("\\d\\d [^/]+/\\d{4}(_bw)?\\.jpg").isGreaterThan(lastName);
      assertThat(name.substring(name.indexOf('/'))).isGreaterThan(lastFile);
      lastName = name;
      lastFile = name.substring(name.indexOf('/'));
      seen.add(file.path("frame").asText());
      assertThat(pixels(gallery.resolve(name)))
          .isEqualTo(pixels(exports.resolve(file.path("export").asText())));
    }
    assertThat(seen).containsExactlyInAnyOrderElementsOf(frames);
    // the black-and-white rendering stands beside its colour frame
    List<String> own = new ArrayList<>();
    for (JsonNode file : json.path("files")) {
      if (file.path("frame").asText().equals(frames.get(3))) {
        own.add(file.path("name").asText());
      }
    }
    assertThat(own).hasSize(2);
    assertThat(own.get(1)).isEqualTo(own.get(0).replace(".jpg", "_bw.jpg"));
    // the shoot's books
    JsonNode log = Cli.read(shoot.resolve(DeliveryLog.NAME));
    assertThat(log.at("/deliveries/0/files").size()).isEqualTo(frames.size() + 1);
    assertThat(log.at("/deliveries/0/kind").asText()).isEqualTo("whole");
    try (InputStream in =
        Objects.requireNonNull(DeliveryLog.class.getResourceAsStream("deliveries.schema.json"))) {
      assertThat(
              SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                  .getSchema(new String(in.readAllBytes(), StandardCharsets.UTF_8))
                  .validate(Files.readString(shoot.resolve(DeliveryLog.NAME)), InputFormat.JSON))
          .isEmpty();
    }
  }

  @Test
  void findings_stopItAndNothingIsWritten() throws IOException {
    export(
        Map.of(
            frames.get(0), Set.of(Mishap.MISSING),
            frames.get(1), Set.of(Mishap.DOUBLED),
            frames.get(2), Set.of(Mishap.NO_PROFILE),
            frames.get(4), Set.of(Mishap.CUT)));
    Files.copy(
        exports.resolve(frames.get(5).replaceAll("\\.\\w+$", ".jpg")),
        exports.resolve("nobody.jpg"));
    Files.writeString(exports.resolve("notes.txt"), "x");

    Cli.Result result = deliver("--json", "--min-edge", "500").is(ExitStatus.ATTENTION);

    Map<String, String> kinds = new TreeMap<>();
    int small = 0;
    for (JsonNode f : result.json().path("findings")) {
      if (f.path("kind").asText().equals("small")) {
        small++;
      } else {
        kinds.merge(f.path("kind").asText(), f.path("file").asText(), (a, b) -> a + " " + b);
      }
    }
    assertThat(small).isEqualTo(frames.size() - 2);
    assertThat(kinds.get("missing")).isEqualTo(frames.get(0));
    assertThat(kinds.get("doubled")).contains(frames.get(1));
    assertThat(kinds.get("noProfile")).startsWith(frames.get(2).replaceAll("\\.\\w+$", ""));
    assertThat(kinds.get("damaged")).startsWith(frames.get(4).replaceAll("\\.\\w+$", ""));
    assertThat(gallery).doesNotExist();
    assertThat(shoot.resolve(DeliveryLog.NAME)).doesNotExist();
    assertThat(list(folder).stream().filter(f -> f.contains("samelight-new"))).isEmpty();

    JsonNode all = deliver("--json", "--with-findings").is(ExitStatus.ATTENTION).json();
    assertThat(all.path("written").asBoolean()).isTrue();
    assertThat(all.path("files").size()).isEqualTo(frames.size() - 2);
    assertThat(deliver("--embed-srgb").out()).doesNotContain("without a colour profile");
  }

  @Test
  void again_updatesOnlyWhatChangedAndKeepsStrangers() throws IOException {
    export(Map.of());
    deliver().is(ExitStatus.DONE);
    Files.writeString(gallery.resolve("letter.txt"), "thank you");
    String someFolder = list(gallery).get(0).replaceAll("/.*", "");
    Files.writeString(gallery.resolve(someFolder).resolve("mine.jpg"), "mine");
    List<String> before = list(gallery);

    JsonNode same = deliver("--json").is(ExitStatus.DONE).json();
    assertThat(same.path("copied").asInt()).isZero();
    assertThat(list(gallery)).isEqualTo(before);

    // one is exported anew, one is no longer kept
    Path export = exports.resolve(frames.get(6).replaceAll("\\.\\w+$", ".jpg"));
    Files.copy(
        exports.resolve(frames.get(7).replaceAll("\\.\\w+$", ".jpg")),
        export,
        java.nio.file.StandardCopyOption.REPLACE_EXISTING);
    Files.setLastModifiedTime(export, FileTime.from(Instant.parse("2030-01-01T00:00:00Z")));
    Cli.run("leave-out", shoot.resolve(frames.get(8))).is(ExitStatus.DONE);
    Files.delete(exports.resolve(frames.get(8).replaceAll("\\.\\w+$", ".jpg")));

    JsonNode changed = deliver("--json", "--with-findings").json();
    assertThat(changed.path("copied").asInt()).isEqualTo(1);
    assertThat(changed.path("gone").asInt()).isEqualTo(1);
    assertThat(changed.path("files").size()).isEqualTo(frames.size() - 1);
    assertThat(gallery.resolve("letter.txt")).hasContent("thank you");
    assertThat(list(gallery).stream().filter(f -> f.endsWith("/mine.jpg"))).hasSize(1);
    assertThat(list(gallery)).hasSize(before.size() - 1);
    assertThat(list(folder).stream().filter(f -> f.contains(".samelight-"))).isEmpty();
    for (JsonNode file : changed.path("files")) {
      assertThat(pixels(gallery.resolve(file.path("name").asText())))
          .isEqualTo(pixels(exports.resolve(file.path("export").asText())));
    }
  }

  /** Where a run ended between its two renames, or before it had cleared what was before. */
  @Test
  void interrupted_isPutRightByTheNextRun() throws IOException {
    export(Map.of());
    deliver().is(ExitStatus.DONE);
    Files.writeString(gallery.resolve("letter.txt"), "thank you");
    List<String> whole = list(gallery);
    Path before = folder.resolve(".gallery.samelight-before");
    Path half = Files.createDirectory(folder.resolve(".gallery.samelight-new"));
    Files.writeString(half.resolve("0001.jpg"), "half");

    Files.move(gallery, before);
    deliver().is(ExitStatus.DONE);
    assertThat(list(gallery)).isEqualTo(whole);
    assertThat(before).doesNotExist();
    assertThat(half).doesNotExist();

    Shoots.copy(gallery, before);
    Files.delete(gallery.resolve("letter.txt"));
    Path touched = before.resolve(whole.stream().filter(f -> f.endsWith(".jpg")).toList().get(0));
    Files.writeString(touched, "touched by somebody");
    deliver().is(ExitStatus.DONE);
    assertThat(before).doesNotExist();
    assertThat(gallery.resolve("letter.txt")).hasContent("thank you");
    List<String> after = new ArrayList<>(list(gallery));
    after.removeAll(whole);
    assertThat(after).singleElement().asString().contains("-kept-2");
  }

  /** A picture of the gallery that was damaged is made anew, and what stood there is kept. */
  @Test
  void damagedInTheGallery_isMadeAnew() throws IOException {
    export(Map.of());
    deliver().is(ExitStatus.DONE);
    List<String> whole = list(gallery);
    Path damaged = gallery.resolve(whole.get(0));
    byte[] good = Files.readAllBytes(damaged);
    Files.writeString(damaged, "damaged");

    JsonNode json = deliver("--json").is(ExitStatus.DONE).json();

    assertThat(json.path("copied").asInt()).isEqualTo(1);
    assertThat(damaged).hasBinaryContent(good);
    assertThat(list(gallery)).hasSize(whole.size() + 1).containsAll(whole);
  }

  /** Where a run ended after the list of the page's files was in place, before all of them were. */
  @Test
  void interruptedPage_isMadeWholeByTheNextRun() throws IOException {
    export(Map.of());
    deliverWithPage().is(ExitStatus.DONE);
    List<String> whole = list(gallery);
    Map<String, String> sums = Sums.read(gallery.resolve(Sums.NAME));
    List<String> small = whole.stream().filter(f -> f.startsWith("index-pictures/")).toList();
    Files.delete(gallery.resolve("index.html"));
    Files.delete(gallery.resolve(small.get(0)));
    Files.createDirectory(folder.resolve(".gallery.samelight-new"));

    JsonNode json = deliverWithPage("--json").is(ExitStatus.DONE).json();

    assertThat(json.path("copied").asInt()).isZero();
    assertThat(list(gallery)).isEqualTo(whole);
    assertThat(Sums.read(gallery.resolve(Sums.NAME))).isEqualTo(sums);
    assertThat(folder.resolve(".gallery.samelight-new")).doesNotExist();
  }

  @Test
  void pageChangedByAPerson_isKeptBesideTheNewOne() throws IOException {
    export(Map.of());
    deliverWithPage().is(ExitStatus.DONE);
    byte[] page = Files.readAllBytes(gallery.resolve("index.html"));
    Files.writeString(gallery.resolve("index.html"), "with a greeting");

    deliverWithPage().is(ExitStatus.DONE);

    assertThat(gallery.resolve("index.html")).hasBinaryContent(page);
    assertThat(gallery.resolve("index-kept-2.html")).hasContent("with a greeting");
  }

  @Test
  void withoutThePage_itsFilesGo() throws IOException {
    export(Map.of());
    deliverWithPage().is(ExitStatus.DONE);
    deliver().is(ExitStatus.DONE);
    assertThat(list(gallery)).noneMatch(f -> f.startsWith("index") || f.endsWith(".pdf"));
    assertThat(Sums.read(gallery.resolve(Sums.NAME)).keySet())
        .noneMatch(f -> f.startsWith("index"));
  }

  /** Its structure is whole, so that only decoding shows it. */
  @Test
  void exportThatEndsWithinItsPicture_isFoundWhenThePageIsMade() throws IOException {
    export(Map.of());
    Path first = exports.resolve(list(exports).get(0));
    byte[] bytes = Files.readAllBytes(first);
    byte[] cut = Arrays.copyOf(bytes, bytes.length * 3 / 4);
    cut[cut.length - 2] = (byte) 0xFF;
    cut[cut.length - 1] = (byte) 0xD9;
    Files.write(first, cut);

    for (int run = 0; run < 2; run++) {
      Cli.Result result = deliverWithPage().is(ExitStatus.ATTENTION);
      assertThat(result.out())
          .contains("Damaged exports: 1")
          .contains("can't be decoded to its end, and stands in the gallery as");
    }
    Files.write(first, bytes);
    deliverWithPage().is(ExitStatus.DONE);
  }

  @Test
  void early_takesTheHighestRatedOfEverySection() throws IOException {
    export(Map.of(frames.get(0), Set.of(Mishap.MISSING)));

    JsonNode json = deliver("--early", "12", "--json").is(ExitStatus.DONE).json();

    assertThat(json.path("files").size()).isEqualTo(12);
    assertThat(json.path("sections").size()).isGreaterThan(1);
    assertThat(Cli.read(shoot.resolve(DeliveryLog.NAME)).at("/deliveries/0/kind").asText())
        .isEqualTo("early");
    Cli.Result whole = deliver("--with-findings").is(ExitStatus.REFUSED);
    assertThat(whole.err()).contains("a folder each");
  }

  @Test
  void foldersInEachOther_areRefused() throws IOException {
    export(Map.of());
    for (Path to :
        List.of(shoot.resolve("gallery"), exports, exports.resolve("x"), folder, shoot, exports)) {
      Cli.Result result =
          Cli.run("deliver", shoot, "--from", exports, "--to", to).is(ExitStatus.REFUSED);
      assertThat(result.err()).contains("may not lie in each other");
    }
    Path full = Files.createDirectory(folder.resolve("full"));
    Files.writeString(full.resolve("x.txt"), "x");
    Cli.run("deliver", shoot, "--from", exports, "--to", full).is(ExitStatus.REFUSED);
    Cli.run("deliver", shoot, "--from", folder.resolve("none"), "--to", gallery)
        .is(ExitStatus.REFUSED);
    Cli.run("deliver", shoot, "--from", exports, "--to", folder.resolve("no/such"))
        .is(ExitStatus.REFUSED);
    Cli.run("deliver", shoot, "--from", exports, "--to", gallery, "--early", "0")
        .is(ExitStatus.USAGE);
    Cli.run(
            "deliver",
            shoot,
            "--from",
            exports,
            "--to",
            gallery,
            "--no-private",
            "--copyright",
            "x")
        .is(ExitStatus.USAGE);
    assertThat(gallery).doesNotExist();
  }

  @Test
  void orderAndNames_areThePhotographers() throws IOException {
    export(Map.of());
    String first = Shoots.groups(shoot).get(0).get(0);
    String second = Shoots.groups(shoot).get(0).get(1);
    Cli.run("name", shoot.resolve(first), "CON: a/b? <Šaty>. ").is(ExitStatus.DONE);
    JsonNode plain = deliver("--json").is(ExitStatus.DONE).json();
    Path list = Files.writeString(folder.resolve("order.txt"), second + "\n# x\n" + first + "\n");

    JsonNode ordered =
        deliver("--json", "--order", list, "--opening", second).is(ExitStatus.DONE).json();

    assertThat(name(plain, first)).startsWith("01 CON- a-b- -Šaty/");
    assertThat(name(ordered, first)).isEqualTo(name(plain, second));
    assertThat(name(ordered, second)).isEqualTo(name(plain, first));
    boolean opens = false;
    for (JsonNode p : Cli.read(gallery.resolve("manifest.json")).path("pictures")) {
      opens |= p.path("frame").asText().equals(second) && p.path("opening").asBoolean();
    }
    assertThat(opens).isTrue();
    Files.writeString(list, "nobody\n");
    assertThat(deliver("--order", list).is(ExitStatus.REFUSED).err()).contains("line 1");
  }

  private static String name(JsonNode json, String frame) {
    for (JsonNode file : json.path("files")) {
      if (file.path("frame").asText().equals(frame)) {
        return file.path("name").asText();
      }
    }
    throw new AssertionError(frame + " isn't delivered");
  }
}
