package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;
import samelight.engine.keepers.QualityReader;
import samelight.engine.store.FrameStore;
import samelight.engine.store.PlanFile;

class KeepersCommandTest {
  @TempDir Path folder;
  private Path shoot;

  @BeforeEach
  void group() throws IOException {
    shoot = Shoots.mixed(folder.resolve("shoot"));
    Cli.run("group", shoot);
  }

  private List<String> sidecars() throws IOException {
    try (Stream<Path> files = Files.walk(shoot)) {
      return files.map(Path::toString).filter(f -> f.endsWith(".xmp")).sorted().toList();
    }
  }

  private static String out(JsonNode keepers) {
    for (JsonNode take : keepers.path("takes")) {
      if (!take.path("keep").asBoolean()) {
        return take.path("frame").asText();
      }
    }
    throw new AssertionError("nothing is proposed out: " + keepers);
  }

  @Test
  void keepers_proposeIntoThePlanAndWriteNoSidecar() throws IOException {
    JsonNode keepers = Cli.run("keepers", shoot, "--json").json();

    assertThat(keepers.path("proposedOut").asInt()).isPositive();
    assertThat(sidecars()).isEmpty();
    JsonNode plan = Shoots.plan(shoot);
    assertThat(plan.at("/decisions/keepers/keep").asInt()).isEqualTo(1);
    try (InputStream in =
        Objects.requireNonNull(PlanFile.class.getResourceAsStream("plan.schema.json"))) {
      String schema = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      assertThat(
              SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                  .getSchema(schema)
                  .validate(
                      Files.readString(shoot.resolve("samelight/plan.json")), InputFormat.JSON))
          .isEmpty();
    }
    // they outlive the next grouping
    JsonNode again = Cli.run("group", shoot, "--json").json();
    assertThat(again.path("proposedOut").size()).isEqualTo(keepers.path("proposedOut").asInt());
    JsonNode kept = Cli.run("group", shoot, "--kept", "--json").json();
    int all = 0;
    int fewer = 0;
    for (int i = 0; i < again.path("sections").size(); i++) {
      all += frames(again.path("sections").get(i));
      fewer += frames(kept.path("sections").get(i));
    }
    assertThat(all - fewer).isEqualTo(keepers.path("proposedOut").asInt());
  }

  private static int frames(JsonNode section) {
    int n = 0;
    for (JsonNode group : section.path("groups")) {
      n += group.path("frames").asInt();
    }
    return n;
  }

  @Test
  void progress_countsFramesAndTheBytesOfTheirPreviews() {
    ShootPaths paths = ShootPaths.of(shoot);
    List<Frame> frames = FrameStore.load(paths, true).frames();
    long all = 0;
    for (Frame frame : frames) {
      all += Objects.requireNonNull(frame.picture().largest()).length();
    }
    List<long[]> told = new ArrayList<>();

    QualityReader.read(
        paths, frames, (n, of, bytes, allBytes) -> told.add(new long[] {n, of, bytes, allBytes}));

    assertThat(told).hasSize(frames.size());
    for (int i = 0; i < told.size(); i++) {
      assertThat(told.get(i)[0]).isEqualTo(i + 1);
      assertThat(told.get(i)[2]).isGreaterThan(i == 0 ? 0 : told.get(i - 1)[2] - 1);
    }
    assertThat(told.get(frames.size() - 1)).containsExactly(frames.size(), frames.size(), all, all);
  }

  @Test
  void keepers_sayOnTheReportWhatIsProposed() throws IOException {
    JsonNode keepers = Cli.run("keepers", shoot, "--json").json();

    String report = Files.readString(shoot.resolve("samelight/report.html"));

    assertThat(report).contains("to leave out " + keepers.path("proposedOut").asInt());
    String frame = out(keepers);
    for (JsonNode take : keepers.path("takes")) {
      if (take.path("frame").asText().equals(frame)) {
        assertThat(report)
            .contains(frame + "</a></th><td>propose to leave out: " + take.path("reason").asText());
      }
    }
  }

  @Test
  void proposedOut_getNoRecipe() throws IOException {
    JsonNode keepers = Cli.run("keepers", shoot, "--json").json();
    for (JsonNode group : Shoots.plan(shoot).path("groups")) {
      Cli.run("grade", shoot.resolve(group.path("reference").asText()), "--ev", "0.5");
    }

    Cli.run("carry", shoot);

    String frame = out(keepers);
    String stem = frame.substring(0, frame.lastIndexOf('.'));
    assertThat(sidecars()).isNotEmpty().noneMatch(s -> s.endsWith(stem + ".xmp"));
  }

  @Test
  void mark_writesRatingsThatAreToldFromAPersons() throws IOException {
    JsonNode first = Cli.run("keepers", shoot, "--mark", "--json").json();
    int out = first.path("proposedOut").asInt();
    assertThat(first.path("marked").asInt()).isEqualTo(out);
    assertThat(sidecars()).hasSize(out);
    String frame = out(first);
    Path sidecar = shoot.resolve(frame.substring(0, frame.lastIndexOf('.')) + ".xmp");
    assertThat(sidecar)
        .content()
        .contains("xmp:Rating=\"-1\"")
        .contains("slr:ProposedRating=\"-1\"");

    // a person has the last word
    Files.writeString(
        sidecar, Files.readString(sidecar).replace("xmp:Rating=\"-1\"", "xmp:Rating=\"4\""));
    JsonNode second = Cli.run("keepers", shoot, "--mark", "--json").json();
    for (JsonNode take : second.path("takes")) {
      if (take.path("frame").asText().equals(frame)) {
        assertThat(take.path("keep").asBoolean()).isTrue();
        assertThat(take.path("reason").asText()).isEqualTo("you rated it 4");
      }
    }
    assertThat(sidecar).content().contains("xmp:Rating=\"4\"");

    JsonNode none = Cli.run("keepers", shoot, "--keep", "0", "--mark", "--json").json();
    assertThat(none.path("proposedOut").asInt()).isZero();
    assertThat(sidecar).content().contains("xmp:Rating=\"4\"");
    for (String s : sidecars()) {
      assertThat(Path.of(s)).content().doesNotContain("xmp:Rating=\"-1\"");
    }
  }

  @Test
  void mark_isReverted() throws IOException {
    Cli.run("keepers", shoot, "--mark");
    assertThat(sidecars()).isNotEmpty();
    assertThat(Cli.run("confirm", shoot).out()).doesNotContain("ignored");

    Cli.run("revert", shoot);

    assertThat(sidecars()).isEmpty();
  }

  @Test
  void must_keepsAllOfItsTime() {
    JsonNode all = Cli.run("keepers", shoot, "--must", "everybody", "00:00-23:59", "--json").json();

    assertThat(all.path("proposedOut").asInt()).isZero();
    assertThat(all.at("/takes/0/reason").asText()).isEqualTo("asked for: everybody");
    assertThat(
            Cli.run("keepers", shoot, "--forget-musts", "--json")
                .json()
                .path("proposedOut")
                .asInt())
        .isPositive();
  }

  @Test
  void must_isSaidInDaysAndMinutes() {
    String day = "20\\d\\d-\\d\\d-\\d\\d ";
    assertThat(Cli.run("keepers", shoot, "--must", "everybody", "15:40-15:55").out())
        .containsPattern("Asked for: everybody, " + day + "15:40 to " + day + "15:55\\R");
  }

  @Test
  void wrongWords_areRefused() {
    Cli.run("keepers", shoot, "--must", "x", "noon").is(ExitStatus.USAGE);
    Cli.run("keepers", shoot, "--must", "x").is(ExitStatus.USAGE);
    Cli.run("keepers", shoot, "--keep", "-1").is(ExitStatus.USAGE);
    Cli.run("keepers", folder).is(ExitStatus.REFUSED);
  }
}
