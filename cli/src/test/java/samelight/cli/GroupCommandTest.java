package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.files.ShootLock;
import samelight.engine.files.ShootPaths;
import samelight.engine.store.FrameStore;
import samelight.engine.store.PlanFile;

class GroupCommandTest {
  @TempDir Path folder;

  @ParameterizedTest
  @ValueSource(strings = {"frames", "plan"})
  void group_sampleDay_writesJsonThatFitsItsSchema(String name) throws IOException {
    Path shoot = Shoots.mixed(folder);

    Cli.run("group", shoot);

    String json = Files.readString(shoot.resolve("samelight/" + name + ".json"));
    assertThat(schema(name).validate(json, InputFormat.JSON)).isEmpty();
  }

  @Test
  void schema_frameWithoutSettings_isStrict() throws IOException {
    Path shoot = Shoots.mixed(folder);
    Cli.run("group", shoot);
    String json = Files.readString(shoot.resolve("samelight/frames.json"));

    assertThat(
            schema("frames")
                .validate(json.replace("\"exposureTimeSeconds\"", "\"shutter\""), InputFormat.JSON))
        .isNotEmpty();
  }

  private static Schema schema(String name) throws IOException {
    try (InputStream in =
        Objects.requireNonNull(PlanFile.class.getResourceAsStream(name + ".schema.json"))) {
      String text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      return SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12).getSchema(text);
    }
  }

  @Test
  void group_sampleDay_printsTheClusterReport() throws IOException {
    Path shoot = Shoots.mixed(folder);

    Cli.Result result = Cli.run("group", shoot);

    assertThat(result.out())
        .contains("48 frames, 2 bodies")
        .containsPattern("s1 .* \\d\\d:\\d\\d:\\d\\d to \\d\\d:\\d\\d:\\d\\d")
        .containsPattern("light EV100 -?\\d+\\.\\d \\([0-9.,]+ cd/m²\\)")
        .containsPattern("white balance [0-9,]+ K")
        .containsPattern("ISO \\d+")
        .containsPattern("reference \\S+, spread \\d\\.\\d\\d stops")
        .containsPattern("(no flash|flash)")
        .contains("each in one line")
        .contains("report.html")
        .contains("Next:");
    assertThat(shoot.resolve("samelight/report.html")).isNotEmptyFile();
  }

  @Test
  void group_json_saysTheSame() throws IOException {
    Path shoot = Shoots.mixed(folder);

    JsonNode json = Cli.run("group", shoot, "--json").json();

    assertThat(json.path("command").asText()).isEqualTo("group");
    assertThat(json.path("frames").asInt()).isEqualTo(48);
    assertThat(json.path("groups").asInt()).isEqualTo(Shoots.groups(shoot).size());
    assertThat(json.path("account").path("total").asInt()).isEqualTo(Shoots.files(shoot).size());
  }

  @Test
  void group_again_changesNothing() throws IOException {
    Path shoot = Shoots.mixed(folder);
    Cli.run("group", shoot);
    byte[] plan = Files.readAllBytes(shoot.resolve("samelight/plan.json"));
    byte[] frames = Files.readAllBytes(shoot.resolve("samelight/frames.json"));
    byte[] report = Files.readAllBytes(shoot.resolve("samelight/report.html"));

    Files.delete(shoot.resolve(KeptAnswer.NAME)); // so that all of it is done again
    Cli.run("group", shoot);

    assertThat(shoot.resolve("samelight/plan.json")).hasBinaryContent(plan);
    assertThat(shoot.resolve("samelight/frames.json")).hasBinaryContent(frames);
    assertThat(shoot.resolve("samelight/report.html")).hasBinaryContent(report);
  }

  @Test
  void group_originals_areLeftAlone() throws IOException {
    Path shoot = Shoots.mixed(folder);
    var before = Shoots.contents(shoot);

    Cli.run("group", shoot);

    assertThat(Shoots.contents(shoot)).isEqualTo(before);
  }

  @Test
  void group_noSuchFolder_isRefused() {
    Cli.Result result = Cli.run("group", folder.resolve("nowhere")).is(ExitStatus.REFUSED);

    assertThat(result.err()).contains("nowhere").contains("no such file or folder");
    assertThat(result.out()).isEmpty();
  }

  @Test
  void group_fileInsteadOfFolder_isRefused() throws IOException {
    Path file = Files.writeString(folder.resolve("shoot"), "x");

    assertThat(Cli.run("group", file).is(ExitStatus.REFUSED).err()).contains("must be a folder");
  }

  @Test
  void group_emptyFolder_isRefusedAndStaysEmpty() {
    Cli.Result result = Cli.run("group", folder).is(ExitStatus.REFUSED);

    assertThat(result.err()).contains("an empty folder").contains("Copy the frames");
    assertThat(folder).isEmptyDirectory();
  }

  @Test
  void group_textFileNamedJpg_isRefusedWithItsName() throws IOException {
    Files.writeString(folder.resolve("IMG_0001.JPG"), "not a picture\n");

    assertThat(Cli.run("group", folder).is(ExitStatus.REFUSED).err())
        .contains("IMG_0001.JPG")
        .contains("at least one frame")
        .contains("1 file,");
    assertThat(folder.resolve("samelight")).doesNotExist();
  }

  @Test
  void group_badFilesAmongGoodOnes_areFoundAndCounted() throws IOException {
    Path shoot = Shoots.mixed(folder);
    Path jpeg = firstOf(shoot, ".JPG");
    Files.writeString(shoot.resolve("TEXT.JPG"), "not a picture\n");
    byte[] bytes = Files.readAllBytes(jpeg);
    Files.write(shoot.resolve("CUT.JPG"), Arrays.copyOf(bytes, 300));
    Files.write(shoot.resolve("EMPTY.DNG"), new byte[0]);
    Files.write(shoot.resolve("BARE.JPG"), withoutExif(bytes));
    Files.writeString(shoot.resolve("notes.txt"), "x");

    Cli.Result result = Cli.run("group", shoot, "--json").is(ExitStatus.ATTENTION);

    JsonNode json = result.json();
    assertThat(json.path("account").path("total").asInt()).isEqualTo(Shoots.files(shoot).size());
    assertThat(json.path("notFrames").path("TEXT.JPG").asText()).isEqualTo("unreadable");
    assertThat(json.path("notFrames").path("EMPTY.DNG").asText()).isEqualTo("unreadable");
    assertThat(json.path("notFrames").path("notes.txt").asText()).isEqualTo("other");
    for (String name : new String[] {"TEXT.JPG", "CUT.JPG", "EMPTY.DNG", "BARE.JPG"}) {
      assertThat(json.path("findings").findValuesAsText("file")).contains(name);
    }
  }

  /** The same JPEG with its Exif segments renamed, so that it has no time and no settings. */
  private static byte[] withoutExif(byte[] jpeg) {
    byte[] bare = jpeg.clone();
    for (int i = 0; i < bare.length - 4; i++) {
      if (bare[i] == 'E' && bare[i + 1] == 'x' && bare[i + 2] == 'i' && bare[i + 3] == 'f') {
        bare[i] = 'N';
      }
    }
    assertThat(bare).isNotEqualTo(jpeg);
    return bare;
  }

  @Test
  @DisabledOnOs(OS.WINDOWS)
  void group_nameWithABackslash_isSaidAndHindersNothing() throws IOException {
    Path shoot = Shoots.mixed(folder);
    Files.copy(firstOf(shoot, ".JPG"), shoot.resolve("a\\b.JPG"));
    Files.writeString(shoot.resolve("c\\d.txt"), "x");

    JsonNode json = Cli.run("group", shoot, "--json").json();

    assertThat(json.path("notFrames").path("a\\b.JPG").asText()).isEqualTo("unreadable");
    assertThat(json.path("findings").findValuesAsText("file")).contains("a\\b.JPG");
    String reference = largestGroup(shoot).path("reference").asText();
    Cli.run("grade", shoot.resolve(reference), "--ev", "1").is(ExitStatus.DONE);
    assertThat(
            schema("frames")
                .validate(
                    Files.readString(shoot.resolve("samelight/frames.json")), InputFormat.JSON))
        .isEmpty();
  }

  @Test
  void group_twoFramesOfOneStem_areBothKept() throws IOException {
    Path shoot = Shoots.mixed(folder);
    Path one = firstOf(shoot, ".JPG");
    Path other = Files.createDirectories(shoot.resolve("again")).resolve(one.getFileName());
    Files.copy(one, other);

    Cli.run("group", shoot);

    assertThat(Shoots.frames(shoot).path("frames").findValuesAsText("file"))
        .contains("again/" + one.getFileName());
  }

  @Test
  void group_plansNonsense_isRefusedAndKept() throws IOException {
    Path shoot = Shoots.mixed(folder);
    Cli.run("group", shoot);
    Path plan = shoot.resolve("samelight/plan.json");
    String nonsense = Files.readString(plan).replace("\"follow\": 1", "\"follow\": \"much\"");
    Files.writeString(plan, nonsense);

    Cli.Result result = Cli.run("group", shoot).is(ExitStatus.REFUSED);

    assertThat(result.err()).contains("line 4").contains("decisions.follow").contains("\"much\"");
    assertThat(plan).hasContent(nonsense);
  }

  @Test
  void group_framesJsonIsNonsense_isReadAnewAndSaid() throws IOException {
    Path shoot = Shoots.mixed(folder);
    Cli.run("group", shoot);
    Path frames = shoot.resolve("samelight/frames.json");
    Files.writeString(
        frames, Files.readString(frames).replace("\"orientation\": 1", "\"orientation\": 9"));

    Cli.Result result = Cli.run("group", shoot);

    assertThat(result.status()).isLessThan(2);
    assertThat(result.err()).contains("set aside").contains("orientation");
    assertThat(FrameStore.load(ShootPaths.of(shoot), false).frames()).hasSize(48);
  }

  @Test
  void group_anotherCommandAtWork_isRefused() throws IOException {
    Path shoot = Shoots.mixed(folder);

    try (ShootLock held = ShootLock.take(ShootPaths.of(shoot))) {
      assertThat(Cli.run("group", shoot).is(ExitStatus.REFUSED).err())
          .contains("only one command")
          .contains("Wait");
      assertThat(held).isNotNull();
    }
  }

  @Test
  void group_fileWhereTheFolderShouldBe_couldNotWrite() throws IOException {
    Path shoot = Shoots.mixed(folder);
    Files.writeString(shoot.resolve("samelight"), "in the way");

    assertThat(Cli.run("group", shoot).is(ExitStatus.NOT_WRITTEN).err()).contains("samelight");
  }

  @Test
  void group_linkedOwnFolder_isRefused() throws IOException {
    Path shoot = Shoots.mixed(folder.resolve("shoot"));
    Path elsewhere = Files.createDirectory(folder.resolve("elsewhere"));
    Files.createSymbolicLink(shoot.resolve("samelight"), elsewhere);

    assertThat(Cli.run("group", shoot).is(ExitStatus.REFUSED).err()).contains("link");
    assertThat(elsewhere).isEmptyDirectory();
  }

  @Test
  void group_clockOfABody_isAppliedAndRemembered() throws IOException {
    Path shoot = Shoots.mixed(folder);
    Cli.run("group", shoot);
    String body = Shoots.plan(shoot).path("bodies").path(1).path("id").asText();

    Cli.run("group", shoot, "--clock", body + "=-123.5");
    Cli.run("group", shoot);

    for (JsonNode b : Shoots.plan(shoot).path("bodies")) {
      if (b.path("id").asText().equals(body)) {
        assertThat(b.path("clockOffsetSeconds").asDouble()).isEqualTo(-123.5);
        assertThat(b.path("clockSource").asText()).isEqualTo("stated");
      }
    }
  }

  @Test
  void group_clockOfNoBody_isWrongUsage() throws IOException {
    Path shoot = Shoots.mixed(folder);

    Cli.Result result = Cli.run("group", shoot, "--clock", "nobody=5").is(ExitStatus.USAGE);

    assertThat(result.err()).contains("--clock").contains("nobody");
    assertThat(shoot.resolve("samelight")).doesNotExist();
  }

  @ParameterizedTest
  @ValueSource(strings = {"a=NaN", "a=Infinity", "a=1e99", "a", "a=x"})
  void group_clockNoNumber_isWrongUsage(String clock) throws IOException {
    Cli.run("group", Shoots.mixed(folder), "--clock", clock).is(ExitStatus.USAGE);
  }

  @Test
  void group_fileNameWithEscapeSequence_cannotReachTheTerminal() throws IOException {
    Path shoot = Shoots.mixed(folder);
    Files.writeString(shoot.resolve("a\u001b[2Jb\u202Ec.JPG"), "not a picture");

    Cli.Result result = Cli.run("group", shoot);

    assertThat(result.out() + result.err())
        .contains("a<1B>[2Jb<202E>c.JPG")
        .doesNotContain("\u001b")
        .doesNotContain("\u202E");
  }

  @Test
  void group_ratedMinusOne_staysAWitnessWithoutRecipe() throws IOException {
    Path shoot = Shoots.mixed(folder);
    Cli.run("group", shoot);
    JsonNode group = largestGroup(shoot);
    String reference = group.path("reference").asText();
    String rejected = null;
    for (JsonNode f : group.path("frames")) {
      if (!f.asText().equals(reference)) {
        rejected = f.asText();
      }
    }
    String file = Objects.requireNonNull(rejected);
    Path sidecar = shoot.resolve(file.substring(0, file.lastIndexOf('.')) + ".xmp");
    Files.writeString(
        sidecar,
        """
        <x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF
         xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about=""
         xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmp:Rating="-1"/></rdf:RDF></x:xmpmeta>
        """);

    JsonNode json = Cli.run("group", shoot, "--json").json();
    assertThat(json.path("rejected").path(0).asText()).isEqualTo(file);
    Cli.run("grade", shoot.resolve(reference), "--ev", "+0.5");
    JsonNode carried = Cli.run("carry", shoot, "--json").json();

    assertThat(carried.path("counts").path("rejected").asInt()).isEqualTo(1);
    assertThat(sidecar).content().doesNotContain("recipe/1.0");
  }

  static JsonNode largestGroup(Path shoot) throws IOException {
    JsonNode largest = null;
    for (JsonNode group : Shoots.plan(shoot).path("groups")) {
      if (largest == null || group.path("frames").size() > largest.path("frames").size()) {
        largest = group;
      }
    }
    return Objects.requireNonNull(largest);
  }

  static Path firstOf(Path shoot, String end) throws IOException {
    return shoot.resolve(
        Shoots.files(shoot).stream().filter(f -> f.endsWith(end)).findFirst().orElseThrow());
  }
}
