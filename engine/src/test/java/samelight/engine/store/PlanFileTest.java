package samelight.engine.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.Finding;
import samelight.engine.lighting.Decisions;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Evidence;
import samelight.engine.match.Grade;
import samelight.engine.match.Match;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;
import samelight.engine.quantity.Mired;
import samelight.engine.timeline.BodyClock;
import samelight.engine.timeline.Section;

class PlanFileTest {
  @TempDir Path folder;
  private ShootPaths shoot;

  @BeforeEach
  void makeShoot() throws IOException {
    Files.createDirectory(folder.resolve("samelight"));
    shoot = ShootPaths.of(folder);
  }

  private static Match match(String frame, double stops, String... eyes) {
    return new Match(
        frame,
        "A/1.DNG",
        new Ev(stops),
        new Ev(0.05),
        new Mired(-12.25),
        new Mired(3),
        new Duv(0.001),
        List.of(eyes),
        new Evidence(new Ev(stops), Ev.ZERO, "settings", List.of(), List.of()));
  }

  private static Plan plan() {
    return new Plan(
        List.of(
            new BodyClock(new BodyId("a", "Arden", "One", null), 0, null, BodyClock.Source.SHOOT),
            new BodyClock(
                new BodyId("b", "Brume", "Two", "77"), -247.5, 1.5, BodyClock.Source.PICTURES)),
        List.of(
            new Section(
                "s1",
                "Dressing \"room\"",
                LocalDateTime.of(2027, 6, 12, 10, 0),
                LocalDateTime.of(2027, 6, 12, 11, 0, 0, 130_000_000)),
            new Section("s2", "?", null, null)),
        List.of(new LightingGroup("g1", "s1", "A/1.DNG", List.of("A/1.DNG", "A/2.DNG"))),
        Map.of("A/2.DNG", "A/2.JPG"),
        Map.of("A/1.DNG", match("A/1.DNG", 0), "A/2.DNG", match("A/2.DNG", 1, "mixed light")),
        Map.of("A/3.DNG", "exposure bracket"),
        new PhotographerDecisions(
            new Decisions(
                List.of("A/1.DNG"),
                List.of("A/3.DNG"),
                List.of(new Decisions.Join("A/1.DNG", "A/2.DNG")),
                List.of(new Decisions.Move("A/2.DNG", "A/1.DNG")),
                List.of("A/4.DNG"),
                Map.of("A/1.DNG", "Dressing \"room\"")),
            Map.of("b", -247.5),
            Map.of("A/1.DNG", new Grade(new Ev(0.35), new Kelvin(5000), new Duv(0.002))),
            0.5),
        List.of(new Finding("A/3.DNG", 12L, "rule", "actual", "action")));
  }

  @Test
  void write_wholePlan_readsBackEqual() {
    PlanFile.write(shoot, plan());

    assertThat(PlanFile.read(shoot)).isEqualTo(plan());
  }

  @Test
  void write_samePlan_sameBytes() {
    assertThat(PlanFile.bytes(plan())).isEqualTo(PlanFile.bytes(plan()));
  }

  @Test
  void read_noPlan_saysToGroupFirst() {
    assertThatThrownBy(() -> PlanFile.read(shoot))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("plan.json")
        .hasMessageContaining("no such file")
        .hasMessageContaining("samelight group");
  }

  /**
   * Each row: what is replaced in a good plan, by what, then the field that the refusal names; its
   * line is that of the replaced text.
   */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          "version": 1 | "version": 2 | field version
          "version": 1 | "version": "1" | field version
          "serial": null, | | field bodies[0].serial
          "follow": 0.5 | "follow": 1.5 | field decisions.follow
          "follow": 0.5 | "follow": NaN | field decisions.follow
          "references": [ "A/1.DNG" ] | "references": [ "../x" ] | field decisions.references[0]
          "references": [ "A/1.DNG" ] | "references": [ 5 ] | field decisions.references[0]
          "splits": | "split": | field decisions.split
          "kelvin": 5000 | "kelvin": 50 | field decisions.grades[0].kelvin
          "seconds": -247.5 | "seconds": 1e12 | field decisions.clocks[0].seconds
          "clockOffsetSeconds": -247.5 | "clockOffsetSeconds": "?" | field bodies[1].clockOffsetSeconds
          "id": "b" | "id": "a" | field bodies[1]
          "clockSource": "pictures" | "clockSource": "guess" | field bodies[1].clockSource
          "from": "2027-06-12T10:00:00" | "from": "2027-13-12T10:00:00" | field sections[0].from
          "from": "2027-06-12T10:00:00" | "from": "2028-06-12T10:00:00" | field sections[0]
          "section": "s1" | "section": "s9" | field groups[0].section
          "id": "g1", | | field groups[0].id
          "frames": [ "A/1.DNG", "A/2.DNG" ] | "frames": [ "A/2.DNG" ] | field groups[0]
          "frames": [ "A/1.DNG", "A/2.DNG" ] | "frames": [ "A/1.DNG", "A/1.DNG" ] | field groups[0].frames[1]
          "frames": [ "A/1.DNG", "A/2.DNG" ] | "frames": [ "A/1.DNG", "A/9.DNG" ] | field groups[0].frames
          "frames": [ "A/1.DNG", "A/2.DNG" ] | "frames": [ "A/1.DNG", "/etc/passwd" ] | field groups[0].frames[1]
          "frames": [ "A/1.DNG", "A/2.DNG" ] | "frames": [ "A/1.DNG", "C:/x.DNG" ] | field groups[0].frames[1]
          "frames": [ "A/1.DNG", "A/2.DNG" ] | "frames": [ "A/1.DNG", "A\\\\2.DNG" ] | field groups[0].frames[1]
          "frames": [ "A/1.DNG", "A/2.DNG" ] | "frames": [ "A/1.DNG", "A//2.DNG" ] | field groups[0].frames[1]
          "reference": "A/1.DNG", "frames" | "reference": "A/2.DNG", "frames" | field groups[0].reference
          "stops": 1, | "stops": "one", | field matches[1].stops
          "stops": 1, | | field matches[1].stops
          "stops": 1, | "stops": 1, "stops": 2, | field matches[1].stops
          "stopsSigma": 0.05 | "stopsSigma": -0.05 | field matches[0]
          "reason": "exposure bracket" | "reason": null | field unmatched[0].reason
          "frame": "A/3.DNG" | "frame": "A/2.DNG" | field unmatched[0].frame
          """)
  void read_editedIntoNonsense_namesLineAndField(String from, String to, String field)
      throws IOException {
    PlanFile.write(shoot, plan());
    Path file = folder.resolve(PlanFile.NAME);
    String good = Files.readString(file);
    assertThat(good).contains(from);
    long line = good.substring(0, good.indexOf(from)).lines().count();
    Files.writeString(file, good.replace(from, to == null ? "" : to));

    assertThatThrownBy(() -> PlanFile.read(shoot))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining(file.toString())
        .hasMessageContaining("line " + line + ",")
        .hasMessageContaining(field);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          `` | an empty file
          `[]` | an array
          `{` | JSON
          `{"version": 1` | JSON
          `hello` | JSON
          """)
  void read_notAPlanAtAll_isRefused(String text, String said) throws IOException {
    Files.writeString(folder.resolve(PlanFile.NAME), text);

    assertThatThrownBy(() -> PlanFile.read(shoot))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining(said);
  }

  @Test
  void read_moreBehindThePlan_isRefused() throws IOException {
    PlanFile.write(shoot, plan());
    Path file = folder.resolve(PlanFile.NAME);
    Files.writeString(file, Files.readString(file) + "{}");

    assertThatThrownBy(() -> PlanFile.read(shoot))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("nothing may follow");
  }

  @Test
  void read_nestedDeep_isRefusedAtOnce() throws IOException {
    Files.writeString(folder.resolve(PlanFile.NAME), "{\"groups\":" + "[".repeat(1_000_000));

    assertThatThrownBy(() -> PlanFile.read(shoot)).isInstanceOf(RefusedInputException.class);
  }

  @Test
  void read_planIsALink_isRefused(@TempDir Path elsewhere) throws IOException {
    Path other = Files.writeString(elsewhere.resolve("plan.json"), "{}");
    Files.createSymbolicLink(folder.resolve(PlanFile.NAME), other);

    assertThatThrownBy(() -> PlanFile.read(shoot))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("link");
  }
}
