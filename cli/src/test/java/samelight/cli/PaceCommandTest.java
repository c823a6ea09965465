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
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import samelight.engine.pace.PaceFile;

class PaceCommandTest {
  @TempDir Path folder;
  private Path shoot;

  @BeforeEach
  void group() throws IOException {
    shoot = Shoots.mixed(folder.resolve("shoot"));
    Cli.run("group", shoot);
  }

  private static List<JsonNode> items(JsonNode pace, String task) {
    List<JsonNode> items = new ArrayList<>();
    for (JsonNode sitting : pace.path("sittings")) {
      for (JsonNode item : sitting.path("items")) {
        if (item.path("task").asText().equals(task)) {
          items.add(item);
        }
      }
    }
    return items;
  }

  private static List<String> frames(List<JsonNode> items) {
    List<String> frames = new ArrayList<>();
    items.forEach(i -> i.path("frames").forEach(f -> frames.add(f.asText())));
    return frames;
  }

  @Test
  void pace_freshShoot_plansEveryReferenceEveryDoubtAndEveryFrameOnce() throws IOException {
    JsonNode pace = Cli.run("pace", shoot, "--json").is(ExitStatus.DONE).json();

    List<String> references = new ArrayList<>();
    List<String> doubted = new ArrayList<>();
    for (JsonNode g : Shoots.plan(shoot).path("groups")) {
      references.add(g.path("reference").asText());
    }
    for (JsonNode m : Shoots.plan(shoot).path("matches")) {
      if (!m.path("needsEyes").isEmpty() && !references.contains(m.path("frame").asText())) {
        doubted.add(m.path("frame").asText());
      }
    }
    Shoots.plan(shoot).path("unmatched").forEach(u -> doubted.add(u.path("frame").asText()));
    List<String> all = new ArrayList<>();
    Shoots.frames(shoot).path("frames").forEach(f -> all.add(f.path("file").asText()));
    assertThat(frames(items(pace, "reference"))).containsExactlyElementsOf(references);
    assertThat(frames(items(pace, "eyes"))).containsExactlyInAnyOrderElementsOf(doubted);
    assertThat(frames(items(pace, "look"))).containsExactlyInAnyOrderElementsOf(all);
    assertThat(pace.path("dueStated").asBoolean()).isFalse();
    assertThat(pace.path("feasible").asBoolean()).isTrue();
  }

  @Test
  void pace_whatWasAsked_isRememberedAndFitsTheSchema() throws IOException {
    Cli.run(
        "pace",
        shoot,
        "--due",
        "2027-07-01",
        "--sitting",
        "1h",
        "--on",
        "mon,THU",
        "--off",
        "2027-06-21",
        "--at",
        "20:15",
        "--start",
        "2027-06-14");
    JsonNode pace =
        Cli.run("pace", shoot, "--off", "2027-06-24", "--start", "2027-06-14", "--json").json();

    assertThat(pace.path("due").asText()).isEqualTo("2027-07-01");
    assertThat(pace.path("sittingMinutes").asInt()).isEqualTo(60);
    assertThat(pace.path("on").toString()).isEqualTo("[\"monday\",\"thursday\"]");
    assertThat(pace.path("off").toString()).isEqualTo("[\"2027-06-21\",\"2027-06-24\"]");
    assertThat(pace.path("possibleDays").asInt()).as("14, 17, 28 June").isEqualTo(3);
    String json = Files.readString(shoot.resolve(PaceFile.NAME));
    try (InputStream in =
        Objects.requireNonNull(PaceFile.class.getResourceAsStream("pace.schema.json"))) {
      String schema = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      assertThat(
              SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                  .getSchema(schema)
                  .validate(json, InputFormat.JSON))
          .isEmpty();
    }
    assertThat(
            Cli.run("pace", shoot, "--forget-off", "--start", "2027-06-14", "--json")
                .json()
                .path("possibleDays")
                .asInt())
        .isEqualTo(5);
  }

  @Test
  void pace_sittingDone_staysDoneAndTheRestIsPlannedAnew() {
    JsonNode first =
        Cli.run("pace", shoot, "--sitting", "30m", "--start", "2027-06-14", "--json").json();
    Set<String> did = new HashSet<>();
    for (JsonNode item : first.path("sittings").get(0).path("items")) {
      item.path("frames").forEach(f -> did.add(item.path("task").asText() + f.asText()));
    }

    JsonNode second = Cli.run("pace", shoot, "--done", "1", "--json").json();

    assertThat(second.path("done")).hasSize(1);
    assertThat(second.path("sittings").get(0).path("number").asInt()).isEqualTo(2);
    int planned = 0;
    for (String task : List.of("reference", "eyes", "look")) {
      for (String frame : frames(items(second, task))) {
        assertThat(did).doesNotContain(task + frame);
        planned++;
      }
    }
    int all = 0;
    for (String task : List.of("reference", "eyes", "look")) {
      all += frames(items(first, task)).size();
    }
    assertThat(planned + did.size()).isEqualTo(all);
    assertThat(Cli.run("pace", shoot, "--done", "1").is(ExitStatus.DONE).err())
        .contains("sitting 1 was done before");
  }

  @Test
  void pace_gradedAndTouched_areNoLongerPlanned() throws IOException {
    JsonNode group = Shoots.plan(shoot).path("groups").get(0);
    String reference = group.path("reference").asText();
    Cli.run("grade", shoot.resolve(reference), "--ev", "0.5");

    JsonNode pace = Cli.run("pace", shoot, "--json").json();

    assertThat(frames(items(pace, "reference"))).isNotEmpty().doesNotContain(reference);
  }

  @Test
  void pace_saveTimesBetweenCarries_areLearned() throws IOException {
    List<String> references = new ArrayList<>();
    Shoots.plan(shoot).path("groups").forEach(g -> references.add(g.path("reference").asText()));
    assertThat(references.size()).as("groups of the sample").isGreaterThan(6);
    Instant at = Instant.parse("2027-06-14T18:00:00Z");
    int minutes = 0;
    for (String reference : references) {
      Path sidecar = shoot.resolve(reference.substring(0, reference.lastIndexOf('.')) + ".xmp");
      Files.writeString(
          sidecar,
          "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF"
              + " xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\"><rdf:Description"
              + " rdf:about=\"\" xmlns:e=\"http://editor.example/ns/1.0/\" e:GainStops=\"0.3\"/>"
              + "</rdf:RDF></x:xmpmeta>");
      Files.setLastModifiedTime(sidecar, FileTime.from(at.plusSeconds(150L * minutes++)));
      Cli.run("grade", shoot.resolve(reference), "--ev", "0.3");
    }
    JsonNode before = Cli.run("pace", shoot, "--json").json();
    Cli.run("carry", shoot); // writes over them, and so over their times

    JsonNode after = Cli.run("pace", shoot, "--json").json();

    for (JsonNode pace : List.of(before, after)) {
      JsonNode time = pace.path("times").path("reference");
      assertThat(time.path("learned").asBoolean()).isTrue();
      assertThat(time.path("seconds").asDouble()).isEqualTo(150);
      assertThat(time.path("samples").asInt()).isEqualTo(references.size() - 1);
      assertThat(pace.path("seen").get(0).path("references").asInt()).isEqualTo(references.size());
    }
    assertThat(items(after, "reference")).isEmpty();
  }

  @Test
  void pace_tooFewDays_saysByHowMuchAndWhatHelps() {
    Cli.Result result =
        Cli.run("pace", shoot, "--due", "2027-06-15", "--start", "2027-06-14", "--sitting", "30m")
            .is(ExitStatus.ATTENTION);

    assertThat(result.out())
        .contains("NOT feasible")
        .contains("TOO LATE")
        .contains("more days for sittings")
        .contains("--due 2027-");
  }

  @Test
  void pace_framesThatWereExported_areFinished() throws IOException {
    JsonNode before = Cli.run("pace", shoot, "--start", "2027-06-14", "--json").json();
    JsonNode group = Shoots.plan(shoot).path("groups").get(0);
    Path exports = Files.createDirectory(folder.resolve("exports"));
    for (JsonNode frame : group.path("frames")) {
      String name = frame.asText().replaceAll(".*/|\\.[^.]*$", "") + ".jpg";
      Files.writeString(exports.resolve(name), "export of " + frame.asText());
    }
    JsonNode after =
        Cli.run("pace", shoot, "--start", "2027-06-14", "--from", exports, "--json").json();
    assertThat(items(after, "reference")).hasSize(items(before, "reference").size() - 1);
  }

  @Test
  void pace_anything_changesNothingButItsOwnFile() throws IOException {
    var before = Shoots.contents(shoot);
    byte[] plan = Files.readAllBytes(shoot.resolve("samelight/plan.json"));
    byte[] frames = Files.readAllBytes(shoot.resolve("samelight/frames.json"));
    Path ics = folder.resolve("sittings.ics");

    Cli.run("pace", shoot, "--ics", ics).is(ExitStatus.DONE);

    assertThat(Shoots.contents(shoot)).isEqualTo(before);
    assertThat(shoot.resolve("samelight/plan.json")).hasBinaryContent(plan);
    assertThat(shoot.resolve("samelight/frames.json")).hasBinaryContent(frames);
    assertThat(ics).content().startsWith("BEGIN:VCALENDAR");
  }

  @Test
  void pace_foreignCalendar_isRefusedBeforeAnythingIsWritten() throws IOException {
    Path mine = Files.writeString(folder.resolve("mine.ics"), "BEGIN:VCALENDAR\r\nmine");

    Cli.Result result = Cli.run("pace", shoot, "--ics", mine).is(ExitStatus.REFUSED);

    assertThat(result.err()).contains("mine.ics").contains("another");
    assertThat(mine).hasContent("BEGIN:VCALENDAR\r\nmine");
    assertThat(shoot.resolve(PaceFile.NAME)).doesNotExist();
  }

  @Test
  void pace_noFolderForTheCalendar_couldNotWrite() {
    Cli.run("pace", shoot, "--ics", folder.resolve("nowhere/s.ics")).is(ExitStatus.NOT_WRITTEN);
  }

  @Test
  void pace_damagedFile_isRefusedAndKept() throws IOException {
    Cli.run("pace", shoot);
    Path file = shoot.resolve(PaceFile.NAME);
    Files.writeString(file, Files.readString(file).replace("\"version\": 1", "\"version\": 7"));

    assertThat(Cli.run("pace", shoot).is(ExitStatus.REFUSED).err()).contains("version");
    assertThat(file).content().contains("\"version\": 7");
  }

  @Test
  void pace_notGrouped_saysSo() throws IOException {
    Path other = Shoots.mixed(folder.resolve("other"));

    assertThat(Cli.run("pace", other).is(ExitStatus.REFUSED).err()).contains("samelight group");
    assertThat(other.resolve("samelight")).doesNotExist();
  }

  @ParameterizedTest
  @CsvSource({
    "--due, 13.7.2027, a date",
    "--due, 2399-01-01, five years",
    "--sitting, soon, 45m",
    "--sitting, 0m, 45m",
    "--sitting, 25h, 24h",
    "--on, mo, mon",
    "--off, never, a date",
    "--at, 8pm, 20:00",
    "--done, 3, it has none",
    "--start, tomorrow, a date",
  })
  void pace_wrongArguments_areRefusedAndNothingIsWritten(String option, String value, String said) {
    assertThat(Cli.run("pace", shoot, option, value).is(ExitStatus.USAGE).err())
        .contains(said)
        .contains(option);
    assertThat(shoot.resolve(PaceFile.NAME)).doesNotExist();
  }
}
