package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.samples.DemoGrades;

class CarryCommandTest {
  @TempDir Path folder;
  private Path shoot;

  @BeforeEach
  void groupShoot() throws IOException {
    shoot = Shoots.mixed(folder.resolve("shoot"));
    Cli.run("group", shoot);
  }

  private String gradeLargest() throws IOException {
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    Cli.run("grade", shoot.resolve(group.path("reference").asText()), "--ev", "+0.35")
        .is(ExitStatus.DONE);
    return group.path("id").asText();
  }

  private List<String> sidecars() throws IOException {
    return Shoots.files(shoot).stream().filter(f -> f.endsWith(".xmp")).toList();
  }

  @Test
  void carry_oneGradedGroup_writesItsFramesAndSaysTheOthers() throws IOException {
    gradeLargest();

    Cli.Result result = Cli.run("carry", shoot).is(ExitStatus.ATTENTION);

    int frames = GroupCommandTest.largestGroup(shoot).path("frames").size();
    assertThat(sidecars()).hasSize(frames);
    assertThat(result.out())
        .contains(frames + "  written")
        .contains("no grade yet")
        .contains("samelight revert");
    assertThat(shoot.resolve(sidecars().get(0))).content().contains("slr:Exposure");
  }

  @Test
  void carry_again_writesNothing() throws IOException {
    gradeLargest();
    Cli.run("carry", shoot);
    var before = Shoots.contents(shoot);

    JsonNode again = Cli.run("carry", shoot, "--json").json();

    assertThat(Shoots.contents(shoot)).isEqualTo(before);
    assertThat(again.path("counts").path("written").asInt()).isZero();
    assertThat(again.path("carry").isNull()).isTrue();
  }

  @Test
  void carry_dryRun_writesNothing() throws IOException {
    gradeLargest();
    var before = Shoots.contents(shoot);

    Cli.Result result = Cli.run("carry", shoot, "--dry-run");

    assertThat(result.out()).contains("Dry run").contains("would be written");
    assertThat(Shoots.contents(shoot)).isEqualTo(before);
  }

  @Test
  void carry_oneGroupOnly_isDone() throws IOException {
    String group = gradeLargest();

    Cli.Result result = Cli.run("carry", shoot, "--group", group);

    assertThat(result.status()).isLessThan(2);
    assertThat(result.out()).doesNotContain("no grade yet");
  }

  @Test
  void carry_noSuchGroup_isWrongUsage() {
    assertThat(Cli.run("carry", shoot, "--group", "g999").is(ExitStatus.USAGE).err())
        .contains("g999");
  }

  @Test
  void carry_withoutPlan_isRefused() throws IOException {
    Files.delete(shoot.resolve("samelight/plan.json"));

    assertThat(Cli.run("carry", shoot).is(ExitStatus.REFUSED).err()).contains("samelight group");
  }

  @Test
  void carry_editMap_carriesTheEditorsProperties() throws IOException {
    Path map = Files.writeString(folder.resolve("map.json"), DemoGrades.editMap());
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    String reference = group.path("reference").asText();
    Files.writeString(
        shoot.resolve(reference.substring(0, reference.lastIndexOf('.')) + ".xmp"),
        """
        <x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF
         xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about=""
         xmlns:ed="http://editor.example/ns/1.0/" ed:GainStops="+0.500" ed:WhiteKelvin="5000"
         ed:Grain="7" ed:FrameBox="0 0 1 1"/></rdf:RDF></x:xmpmeta>
        """);

    Cli.Result result = Cli.run("carry", shoot, "--edit-map", map, "--json");

    assertThat(result.status()).isLessThan(2);
    assertThat(result.err()).contains("will travel").contains("Grain").contains("FrameBox");
    for (JsonNode f : group.path("frames")) {
      String frame = f.asText();
      if (!frame.equals(reference)) {
        Path sidecar = shoot.resolve(frame.substring(0, frame.lastIndexOf('.')) + ".xmp");
        assertThat(sidecar).content().contains("Grain").doesNotContain("FrameBox");
      }
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "{}",
        "{\"version\":1,\"namespaces\":[\"http://editor.example/ns/1.0/\"],\"exposur\":{}}",
        "{\"version\":1,\"namespaces\":[\"http://editor.example/ns/1.0/\"]}",
        "nonsense"
      })
  void carry_editMapIsNonsense_isRefusedAndWritesNothing(String map) throws IOException {
    gradeLargest();
    Path file = Files.writeString(folder.resolve("map.json"), map);

    Cli.Result result = Cli.run("carry", shoot, "--edit-map", file).is(ExitStatus.REFUSED);

    assertThat(result.err()).contains("map.json");
    assertThat(sidecars()).isEmpty();
  }

  @Test
  void carry_malformedSidecar_isNeverOverwritten() throws IOException {
    gradeLargest();
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    String frame = group.path("frames").path(0).asText();
    Path sidecar = shoot.resolve(frame.substring(0, frame.lastIndexOf('.')) + ".xmp");
    Files.writeString(sidecar, "<not xmp");

    Cli.Result result = Cli.run("carry", shoot).is(ExitStatus.ATTENTION);

    assertThat(sidecar).hasContent("<not xmp");
    assertThat(result.out()).contains("can't be understood");
  }

  @Test
  void carry_planWithPathOutOfTheShoot_isRefusedAndWritesNothing() throws IOException {
    gradeLargest();
    Path plan = shoot.resolve("samelight/plan.json");
    String frame = GroupCommandTest.largestGroup(shoot).path("frames").path(0).asText();
    Files.writeString(plan, Files.readString(plan).replace('"' + frame + '"', "\"../out.JPG\""));

    assertThat(Cli.run("carry", shoot).is(ExitStatus.REFUSED).err())
        .contains("../out.JPG")
        .contains("line");
    assertThat(sidecars()).isEmpty();
    assertThat(folder.resolve("out.xmp")).doesNotExist();
  }

  @Test
  void carry_planWithAFrameThatWasNotRead_isRefused() throws IOException {
    Path plan = shoot.resolve("samelight/plan.json");
    String frame = GroupCommandTest.largestGroup(shoot).path("frames").path(0).asText();
    Files.writeString(plan, Files.readString(plan).replace('"' + frame + '"', "\"other.JPG\""));

    assertThat(Cli.run("carry", shoot).is(ExitStatus.REFUSED).err()).contains("other.JPG");
  }

  @Test
  void carry_frameReplacedByALinkOutOfTheShoot_writesNothingThere() throws IOException {
    gradeLargest();
    Path outside = Files.createDirectory(folder.resolve("outside"));
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    String frame = group.path("frames").path(0).asText();
    Path victim = Files.writeString(outside.resolve("victim.xmp"), "keep me");
    Path sidecar = shoot.resolve(frame.substring(0, frame.lastIndexOf('.')) + ".xmp");
    Files.createSymbolicLink(sidecar, victim);

    Cli.Result result = Cli.run("carry", shoot).is(ExitStatus.ATTENTION);

    assertThat(victim).hasContent("keep me");
    assertThat(result.out()).contains(frame);
  }

  @Test
  void revert_afterCarry_bringsEveryByteBack() throws IOException {
    gradeLargest();
    var before = Shoots.contents(shoot);
    Cli.run("carry", shoot);
    assertThat(Shoots.contents(shoot)).isNotEqualTo(before);

    Cli.Result result = Cli.run("revert", shoot).is(ExitStatus.DONE);

    assertThat(Shoots.contents(shoot)).isEqualTo(before);
    assertThat(result.out()).contains("removed, there was none before");
  }

  @Test
  void revert_nothingCarried_saysSo() {
    assertThat(Cli.run("revert", shoot).is(ExitStatus.DONE).out()).contains("Nothing to revert");
    assertThat(Cli.run("revert", shoot, "--list").is(ExitStatus.DONE).out())
        .contains("Nothing was carried");
  }

  @Test
  void revert_touchedSince_isLeftAloneAndSaid() throws IOException {
    gradeLargest();
    Cli.run("carry", shoot);
    Path touched = shoot.resolve(sidecars().get(0));
    String mine = Files.readString(touched).replace("slr:Exposure", "slr:Exposure ");
    Files.writeString(touched, mine);

    Cli.Result result = Cli.run("revert", shoot).is(ExitStatus.ATTENTION);

    assertThat(touched).hasContent(mine);
    assertThat(result.out()).contains("touched since");
  }

  @Test
  void revert_list_namesTheCarry() throws IOException {
    gradeLargest();
    String id = Cli.run("carry", shoot, "--json").json().path("carry").asText();

    assertThat(Cli.run("revert", shoot, "--list").out()).contains(id);
    Cli.run("revert", shoot, "--to", id).is(ExitStatus.DONE);
    assertThat(sidecars()).isEmpty();
  }

  @Test
  void revert_noSuchCarry_isRefused() {
    Cli.run("revert", shoot, "--to", "never").is(ExitStatus.REFUSED);
  }
}
