package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.samples.SampleShoot;
import samelight.samples.ShootOptions;

class DecisionsTest {
  @TempDir Path folder;
  private Path shoot;

  @BeforeEach
  void groupShoot() throws IOException {
    shoot = Shoots.mixed(folder.resolve("shoot"));
    Cli.run("group", shoot);
  }

  private String last(JsonNode group) {
    return group.path("frames").path(group.path("frames").size() - 1).asText();
  }

  @Test
  void reference_anotherFrame_outlivesTheNextGroup() throws IOException {
    String chosen = last(GroupCommandTest.largestGroup(shoot));

    Cli.run("reference", shoot.resolve(chosen)).is(ExitStatus.DONE);
    Cli.run("group", shoot);

    assertThat(Shoots.groupOf(shoot, chosen).path("reference").asText()).isEqualTo(chosen);
  }

  @Test
  void reference_chosenTwice_theLaterCounts() throws IOException {
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    String first = group.path("frames").path(0).asText();
    String second = group.path("frames").path(1).asText();

    Cli.run("reference", shoot.resolve(second)).is(ExitStatus.DONE);
    Cli.run("reference", shoot.resolve(first)).is(ExitStatus.DONE);

    assertThat(Shoots.groupOf(shoot, first).path("reference").asText()).isEqualTo(first);
  }

  @Test
  void reference_forItsBody_leavesTheOtherBodyItsOwn() throws IOException {
    Path two = folder.resolve("two");
    SampleShoot.write(
        ShootOptions.of(8, 120, ShootOptions.Kind.DNG).withBodies(2),
        two,
        folder.resolve("truth.json"));
    Cli.run("group", two);
    String one = "";
    String other = "";
    for (List<String> group : Shoots.groups(two)) {
      one = folderOf(group.get(0)).equals("ines") ? group.get(0) : one;
      other = folderOf(group.get(0)).equals("tomke") ? group.get(0) : other;
    }
    Cli.run("join", two.resolve(one), two.resolve(other)).is(ExitStatus.DONE);
    Cli.run("reference", two.resolve(one)).is(ExitStatus.DONE);
    JsonNode both = Shoots.groupOf(two, one).path("frames");

    Cli.run("reference", two.resolve(other), "--for-body").is(ExitStatus.DONE);
    Cli.run("group", two);

    Set<String> bodies = new HashSet<>();
    for (JsonNode f : both) {
      String expected = folderOf(f.asText()).equals("ines") ? one : other;
      assertThat(Shoots.groupOf(two, f.asText()).path("reference").asText()).isEqualTo(expected);
      bodies.add(folderOf(f.asText()));
    }
    assertThat(bodies).containsExactlyInAnyOrder("ines", "tomke");
    Cli.run("reference", two.resolve(other), "--for-body").is(ExitStatus.ATTENTION);
  }

  /** The photographer's folder, each with a body of its own. */
  private static String folderOf(String file) {
    return file.substring(0, file.indexOf('/'));
  }

  @Test
  void split_inAGroup_startsANewOneAndOutlivesTheNextGroup() throws IOException {
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    int middle = group.path("frames").size() / 2;
    String at = group.path("frames").path(middle).asText();
    String before = group.path("frames").path(0).asText();

    Cli.run("split", shoot.resolve(at)).is(ExitStatus.DONE);
    Cli.run("group", shoot);

    assertThat(Shoots.groupOf(shoot, at).path("id"))
        .isNotEqualTo(Shoots.groupOf(shoot, before).path("id"));
    assertThat(Shoots.groupOf(shoot, at).path("frames").path(0).asText()).isEqualTo(at);
  }

  @Test
  void join_whatWasSplit_isOneGroupAndOutlivesTheNextGroup() throws IOException {
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    String before = group.path("frames").path(0).asText();
    String at = group.path("frames").path(group.path("frames").size() / 2).asText();
    Cli.run("split", shoot.resolve(at)).is(ExitStatus.DONE);

    Cli.run("join", shoot.resolve(before), shoot.resolve(at)).is(ExitStatus.DONE);
    Cli.run("group", shoot);

    assertThat(Shoots.groupOf(shoot, at).path("id"))
        .isEqualTo(Shoots.groupOf(shoot, before).path("id"));
  }

  @Test
  void join_rawAndJpeg_staysApartAndIsNotRemembered() throws IOException {
    String jpeg = "";
    String raw = "";
    for (JsonNode group : Shoots.plan(shoot).path("groups")) {
      String frame = group.path("frames").path(0).asText();
      jpeg = frame.endsWith(".JPG") ? frame : jpeg;
      raw = frame.endsWith(".DNG") ? frame : raw;
    }
    Path split = shoot.resolve(last(GroupCommandTest.largestGroup(shoot)));
    Cli.run("split", split).is(ExitStatus.DONE);
    byte[] plan = Files.readAllBytes(shoot.resolve("samelight/plan.json"));

    Cli.Result result = Cli.run("join", shoot.resolve(jpeg), shoot.resolve(raw));

    assertThat(result.is(ExitStatus.ATTENTION).out())
        .contains("raw and a JPEG")
        .contains("Nothing");
    assertThat(shoot.resolve("samelight/plan.json")).hasBinaryContent(plan);
  }

  @Test
  void move_frame_isInTheOtherGroupAndOutlivesTheNextGroup() throws IOException {
    String frame = "";
    String to = "";
    for (JsonNode group : Shoots.plan(shoot).path("groups")) {
      String f = last(group);
      if (f.endsWith(".DNG") && group.path("frames").size() > 2) {
        to = frame;
        frame = f;
      }
    }
    Cli.run("move", shoot.resolve(frame), "--to", shoot.resolve(to)).is(ExitStatus.DONE);
    Cli.run("group", shoot);

    assertThat(Shoots.groupOf(shoot, frame)).isEqualTo(Shoots.groupOf(shoot, to));
    Cli.run("move", shoot.resolve(frame)).is(ExitStatus.DONE);
    assertThat(Shoots.groupOf(shoot, frame).path("frames")).hasSize(1);
  }

  @Test
  void leaveOut_frame_isInNoGroupUntilTakenBack() throws IOException {
    String frame = last(GroupCommandTest.largestGroup(shoot));
    Cli.run("leave-out", shoot.resolve(frame)).is(ExitStatus.DONE);
    Cli.run("group", shoot);

    assertThat(Shoots.plan(shoot).path("unmatched").findValuesAsText("frame")).contains(frame);
    assertThat(Cli.run("leave-out", shoot.resolve(frame)).is(ExitStatus.ATTENTION).out())
        .contains("left out by you");
    Cli.run("leave-out", shoot.resolve(frame), "--back").is(ExitStatus.DONE);
    assertThat(Shoots.groupOf(shoot, frame).path("frames").size()).isGreaterThan(1);
  }

  @Test
  void name_section_isCalledSo() throws IOException {
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    Cli.run("name", shoot.resolve(last(group)), "Under the \"lime\"").is(ExitStatus.DONE);
    Cli.run("group", shoot);

    assertThat(Shoots.plan(shoot).path("sections").findValuesAsText("name"))
        .contains("Under the \"lime\"");
  }

  @Test
  void join_oneFrameTwice_isWrongUsage() throws IOException {
    Path frame = shoot.resolve(last(GroupCommandTest.largestGroup(shoot)));

    Cli.run("join", frame, frame).is(ExitStatus.USAGE);
  }

  @Test
  void clock_twoFramesOfOneMoment_setsTheSecondBodyAndOutlivesTheNextGroup() throws IOException {
    JsonNode frames = Shoots.frames(shoot).path("frames");
    JsonNode first = frames.path(0);
    JsonNode second = first;
    for (JsonNode f : frames) {
      if (!f.path("body").equals(first.path("body"))) {
        second = f;
        break;
      }
    }
    double before = offset(first.path("body").asText());

    Cli.run(
            "clock",
            shoot.resolve(first.path("file").asText()),
            shoot.resolve(second.path("file").asText()))
        .is(ExitStatus.DONE);
    Cli.run("group", shoot);

    double expected =
        java.time.Duration.between(time(second), time(first)).toMillis() / 1000.0 + before;
    assertThat(offset(second.path("body").asText()))
        .isCloseTo(expected, org.assertj.core.api.Assertions.within(0.002));
  }

  private static java.time.LocalDateTime time(JsonNode frame) {
    return java.time.LocalDateTime.parse(frame.path("capturedAt").asText().substring(0, 19))
        .plusNanos(nanos(frame.path("capturedAt").asText()));
  }

  private static long nanos(String time) {
    int dot = time.indexOf('.');
    if (dot < 0) {
      return 0;
    }
    String digits = time.substring(dot + 1).replaceAll("[^0-9].*", "");
    return Long.parseLong((digits + "000000000").substring(0, 9));
  }

  private double offset(String body) throws IOException {
    for (JsonNode b : Shoots.plan(shoot).path("bodies")) {
      if (b.path("id").asText().equals(body)) {
        return b.path("clockOffsetSeconds").asDouble();
      }
    }
    throw new AssertionError("no body " + body);
  }

  @Test
  void clock_framesOfOneBody_isWrongUsage() throws IOException {
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    String first = group.path("frames").path(0).asText();
    String body = frame(first).path("body").asText();
    for (JsonNode f : Shoots.frames(shoot).path("frames")) {
      if (f.path("body").asText().equals(body) && !f.path("file").asText().equals(first)) {
        Cli.run("clock", shoot.resolve(first), shoot.resolve(f.path("file").asText()))
            .is(ExitStatus.USAGE);
        return;
      }
    }
    throw new AssertionError("one frame only of body " + body);
  }

  private JsonNode frame(String file) throws IOException {
    for (JsonNode f : Shoots.frames(shoot).path("frames")) {
      if (f.path("file").asText().equals(file)) {
        return f;
      }
    }
    throw new AssertionError("no frame " + file);
  }

  @Test
  void follow_stated_outlivesTheNextGroup() throws IOException {
    Cli.run("group", shoot, "--follow", "0.25");
    Cli.run("group", shoot);
    assertThat(Shoots.plan(shoot).path("decisions").path("follow").asDouble()).isEqualTo(0.25);
    Cli.run("group", shoot, "--follow", "1.5").is(ExitStatus.USAGE);
  }

  @Test
  void grade_reference_isKeptThroughTheNextGroup() throws IOException {
    String reference = GroupCommandTest.largestGroup(shoot).path("reference").asText();

    Cli.run("grade", shoot.resolve(reference), "--ev", "-0.35", "--kelvin", "5000", "--duv", ".002")
        .is(ExitStatus.DONE);
    Cli.run("group", shoot);

    JsonNode grade = Shoots.plan(shoot).path("decisions").path("grades").path(0);
    assertThat(grade.path("frame").asText()).isEqualTo(reference);
    assertThat(grade.path("ev").asDouble()).isEqualTo(-0.35);
    assertThat(grade.path("kelvin").asDouble()).isEqualTo(5000);
    assertThat(grade.path("duv").asDouble()).isEqualTo(0.002);
  }

  @Test
  void grade_frameThatIsNoReference_isKeptAndSaid() throws IOException {
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    String reference = group.path("reference").asText();
    String other =
        last(group).equals(reference) ? group.path("frames").path(0).asText() : last(group);

    assertThat(Cli.run("grade", shoot.resolve(other), "--ev", "1").is(ExitStatus.ATTENTION).out())
        .contains("isn't the reference")
        .contains(reference);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "--ev 11",
        "--ev NaN",
        "--ev x",
        "--ev 1 --kelvin 10",
        "--ev 1 --duv 2",
        "--kelvin 5000"
      })
  void grade_outOfRange_isWrongUsage(String options) throws IOException {
    String reference = GroupCommandTest.largestGroup(shoot).path("reference").asText();
    Object[] args = ("grade " + shoot.resolve(reference) + " " + options).split(" ", -1);

    Cli.run(args).is(ExitStatus.USAGE);
  }

  @Test
  void decide_pairNamedByItsJpeg_meansTheRaw() throws IOException {
    String raw = Shoots.plan(shoot).path("pairs").path(0).path("file").asText();
    String jpeg = Shoots.plan(shoot).path("pairs").path(0).path("paired").asText();
    assertThat(jpeg).isNotEmpty();

    Cli.run("reference", shoot.resolve(jpeg)).is(ExitStatus.DONE);

    assertThat(Shoots.groupOf(shoot, raw).path("reference").asText()).isEqualTo(raw);
  }

  @Test
  void explain_anyFrame_showsValueFormulaInputsAndSource() throws IOException {
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    String frame = last(group);

    Cli.Result result = Cli.run("explain", shoot.resolve(frame)).is(ExitStatus.DONE);

    assertThat(result.out())
        .contains(frame)
        .contains(group.path("reference").asText())
        .contains("match = (EV100_f - EV100_ref) - (light_f - light_ref)")
        .containsPattern("match [+-]\\d\\.\\d\\d\\d stops ± \\d\\.\\d\\d\\d")
        .contains("EV100")
        .containsPattern("read from: .*exposureTime \\(.+\\)")
        .containsPattern("(before|after): \\S+, scene light -?\\d+\\.\\d\\d")
        .contains("light estimated by:");
  }

  @Test
  void explain_json_addsUp() throws IOException {
    for (List<String> frames : Shoots.groups(shoot)) {
      for (String frame : frames.subList(0, Math.min(2, frames.size()))) {
        JsonNode json = Cli.run("explain", shoot.resolve(frame), "--json").json();
        double stops = json.path("stops").asDouble();
        assertThat(json.path("settingsStops").asDouble() - json.path("lightStops").asDouble())
            .isCloseTo(stops, within(5e-4));
      }
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"reference", "split", "explain"})
  void decide_frameOutsideAnyShoot_isRefused(String command) throws IOException {
    Path stray = Files.writeString(folder.resolve("stray.JPG"), "x");

    assertThat(Cli.run(command, stray).is(ExitStatus.REFUSED).err())
        .contains("samelight group SHOOT");
  }

  @Test
  void decide_noSuchFile_isRefused() {
    assertThat(Cli.run("reference", shoot.resolve("none.JPG")).is(ExitStatus.REFUSED).err())
        .contains("no such file");
  }

  @Test
  void decide_fileThatIsNoFrame_isRefused() throws IOException {
    Path note = Files.writeString(shoot.resolve("note.txt"), "x");

    assertThat(Cli.run("reference", note).is(ExitStatus.REFUSED).err()).contains("is no frame");
  }
}
