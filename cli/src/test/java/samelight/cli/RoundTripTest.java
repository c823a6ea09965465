package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** An invented raw editor: taught, carried to, confirmed, touched by hand, reverted. */
class RoundTripTest {
  @TempDir Path folder;
  private Path shoot;
  private Path map;
  private String reference = "";
  private final List<String> others = new ArrayList<>();

  @BeforeEach
  void groupAndTeach() throws IOException {
    shoot = Shoots.mixed(folder.resolve("shoot"));
    Cli.run("group", shoot);
    map = folder.resolve("map.json");
    Cli.run(teach("--out", map)).is(ExitStatus.DONE);
    JsonNode group = GroupCommandTest.largestGroup(shoot);
    reference = group.path("reference").asText();
    for (JsonNode f : group.path("frames")) {
      if (!f.asText().equals(reference)) {
        others.add(f.asText());
      }
    }
    Files.writeString(sidecar(reference), editor("+0.50", "5000", "12"));
  }

  private Object[] teach(Object... more) throws IOException {
    List<Object> words = new ArrayList<>(List.of("teach"));
    words.addAll(List.of("--exposure", "+1", file("0.00", "5000"), file("+1.00", "5000")));
    words.addAll(List.of("--kelvin", "5000:6000", file("0.00", "5000"), file("0.00", "6000")));
    words.addAll(List.of(more));
    return words.toArray();
  }

  private int made;

  private Path file(String gain, String kelvin) throws IOException {
    return Files.writeString(
        folder.resolve("example-" + made++ + ".xmp"), editor(gain, kelvin, "12"));
  }

  private static String editor(String gain, String kelvin, String speckle) {
    return """
        <x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF
         xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about=""
         xmlns:ed="http://editor.example/ns/1.0/" ed:GainStops="%s" ed:WhiteKelvin="%s"
         ed:Speckle="%s"/></rdf:RDF></x:xmpmeta>
        """
        .formatted(gain, kelvin, speckle);
  }

  private Path sidecar(String frame) {
    return shoot.resolve(frame.substring(0, frame.lastIndexOf('.')) + ".xmp");
  }

  private void replace(Path file, String from, String to) throws IOException {
    String before = Files.readString(file);
    assertThat(before).containsPattern(from);
    Files.writeString(file, before.replaceFirst(from, to));
  }

  private Cli.Result carry(Object... more) {
    List<Object> words = new ArrayList<>(List.of("carry", shoot, "--edit-map", map));
    words.addAll(List.of(more));
    return Cli.run(words.toArray());
  }

  private String report() throws IOException {
    return Files.readString(shoot.resolve("samelight/report.html"));
  }

  @Test
  void teach_again_neverWritesOverAMap() throws IOException {
    assertThat(Cli.run(teach("--out", map)).is(ExitStatus.REFUSED).err()).contains("map.json");
  }

  @ParameterizedTest
  @CsvSource({
    "--exposure +1 A B,                            must not be the same",
    "--kelvin 5000:6000 A B,                       --exposure is needed",
    "--exposure one A B,                           must be numbers",
    "--exposure +1 A B --kelvin 5000 A B,          must be FROM:TO",
    "--exposure +1 A B --exposure-limits 5:-5,     from a lower to a higher",
  })
  void teach_wrongUsage_saysWhat(String words, String said) throws IOException {
    Path a = file("0.00", "5000");
    List<Object> all = new ArrayList<>(List.of("teach", "--out", folder.resolve("other.json")));
    for (String w : words.split(" ", -1)) {
      all.add(w.equals("A") || w.equals("B") ? a : w);
    }
    Cli.Result r = Cli.run(all.toArray());
    if (said.startsWith("must not be the same")) {
      assertThat(r.is(ExitStatus.REFUSED).err()).contains("the same bytes").contains("--print");
    } else {
      assertThat(r.is(ExitStatus.USAGE).err()).contains(said);
    }
    assertThat(folder.resolve("other.json")).doesNotExist();
  }

  @Test
  void teach_opaqueExample_isRefusedWithThePrintableList() throws IOException {
    Path opaque = Files.write(folder.resolve("edits.bin"), new byte[] {0, 1, 2, 3});
    Path out = folder.resolve("other.json");
    assertThat(
            Cli.run("teach", "--exposure", "+1", opaque, opaque, "--out", out)
                .is(ExitStatus.REFUSED)
                .err())
        .contains("edits.bin")
        .contains("samelight carry SHOOT --print");
    assertThat(Cli.run("carry", shoot, "--print").is(ExitStatus.DONE).out())
        .contains(reference)
        .containsPattern("[+-]?[0-9]( [1-5])?(/6)? stop");
  }

  @Test
  void carry_newMap_saysWhatTravelsAndTheCautions() {
    String err = carry().err();
    assertThat(err)
        .contains("these properties will travel")
        .contains("Speckle")
        .contains("saved its edits out")
        .contains("sidecars are no backup")
        .contains("close the raw editor");
  }

  @Test
  void carry_dryRun_listsWhatWillTravel() throws IOException {
    assertThat(carry("--dry-run").out())
        .contains("will travel:")
        .contains("{http://editor.example/ns/1.0/}Speckle");
    assertThat(sidecar(others.get(0))).doesNotExist();
  }

  @Test
  void carry_newMapAndAPerson_asksAndTriesOneFrameFirst() throws IOException {
    Cli.Result no = Cli.answering("no\n", "carry", shoot, "--edit-map", map);
    assertThat(no.is(ExitStatus.ATTENTION).out()).contains("Nothing written");
    assertThat(sidecar(others.get(0))).doesNotExist();

    Cli.Result one = Cli.answering("one\n", "carry", shoot, "--edit-map", map);
    assertThat(one.out()).contains("To be read again by your raw editor").contains("look at it");
    assertThat(others.stream().filter(f -> Files.exists(sidecar(f)))).hasSize(1);

    Cli.answering("yes\n", "carry", shoot, "--edit-map", map);
    assertThat(others).allMatch(f -> Files.exists(sidecar(f)));
    assertThat(Cli.answering("", "carry", shoot, "--edit-map", map).err())
        .doesNotContain("will travel");
  }

  @Test
  void carry_editsNotSavedOut_writesNothing() throws IOException {
    Cli.run("carry", shoot, "--edit-map", map);
    Files.delete(sidecar(others.get(0)));
    Cli.Result r = Cli.answering("no\n", "carry", shoot, "--edit-map", map);
    assertThat(r.err()).contains("saved its edits out");
    assertThat(sidecar(others.get(0))).doesNotExist();
    Cli.answering("", "carry", shoot, "--edit-map", map, "--yes");
    assertThat(sidecar(others.get(0))).exists();
  }

  @Test
  void carry_twoMapsForOneKind_isWrongUsage() throws IOException {
    Path other = folder.resolve("raw.json");
    Cli.run(teach("--for", "raw", "--out", other)).is(ExitStatus.DONE);
    assertThat(carry("--edit-map", other).is(ExitStatus.USAGE).err()).contains("raw");
    assertThat(sidecar(others.get(0))).doesNotExist();
  }

  @Test
  void carry_secondRenderingsMixedNamesAndEditedFrames_areSaid() throws IOException {
    String edited = others.get(0);
    Files.writeString(sidecar(edited), editor("+0.90", "5200", "12"));
    String second = edited.substring(0, edited.lastIndexOf('.')) + "_2.xmp";
    Files.writeString(shoot.resolve(second), editor("0.10", "5200", "12"));
    Path longName = shoot.resolve(others.get(1) + ".xmp");
    Files.writeString(longName, editor("0.00", "5000", "12").replaceAll("(?s) ed:Gain.*?/>", "/>"));

    Cli.Result r = carry();
    assertThat(r.err()).contains("NAME.xmp and NAME.EXT.xmp");
    assertThat(r.out())
        .contains("1 sidecar of other renderings of a frame, not touched: " + second)
        .contains("Edited before, as a test of the match: " + edited + ": +0.90 EV by hand");
    assertThat(longName).content().contains("slr:Exposure");
    assertThat(sidecar(edited)).hasContent(editor("+0.90", "5200", "12"));
    assertThat(shoot.resolve(second)).hasContent(editor("0.10", "5200", "12"));
    assertThat(report()).contains("edited before, as a test of the match").contains(second);
    JsonNode json = carry("--json").json();
    assertThat(json.path("otherSidecars").path(0).asText()).isEqualTo(second);
    assertThat(json.path("matchTests").path(0).path("frame").asText()).isEqualTo(edited);
  }

  @Test
  void carry_upperCaseSidecar_keepsItsName() throws IOException {
    String frame = others.get(0);
    Path upper = shoot.resolve(frame.substring(0, frame.lastIndexOf('.')) + ".XMP");
    Files.writeString(upper, editor("0.00", "5000", "12").replaceAll("(?s) ed:Gain.*?/>", "/>"));
    carry();
    assertThat(upper).content().contains("slr:Exposure");
    assertThat(Shoots.files(shoot)).doesNotContain(frame.replaceAll("\\.[^.]*$", ".xmp"));
  }

  @Test
  void group_withEditMap_saysFramesEditedBefore() throws IOException {
    String edited = others.get(0);
    Files.writeString(sidecar(edited), editor("+0.90", "5200", "12"));
    assertThat(Cli.run("group", shoot).out()).doesNotContain("edited before");
    String said = "1 frame edited before the first carry, left alone: " + edited;
    assertThat(Cli.run("group", shoot, "--edit-map", map).out()).contains(said);
    assertThat(Cli.run("group", shoot).out()).as("the map is remembered").contains(said);
    assertThat(report())
        .contains(
            "Reference <b>" + reference + "</b>, grade: <span class=\"grade\">in its sidecar");
  }

  @Test
  void report_afterCarry_saysWhatWasCarriedUntilItIsTakenBack() throws IOException {
    assertThat(report()).contains("<section id=\"carried\" hidden></section>");
    carry();
    assertThat(report()).contains("What was carried").contains("carry 0001").contains("written");
    String section = report().replaceAll("(?s).*<section id=\"carried\"(.*?)</section>.*", "$1");
    Cli.run("group", shoot);
    assertThat(report()).contains(section);
    Cli.run("revert", shoot);
    assertThat(report()).contains("was taken back").doesNotContain("carry 0001");
  }

  @Test
  void confirm_afterTheEditorSaved_tellsEachFrame() throws IOException {
    carry();
    assertThat(Cli.run("confirm", shoot).is(ExitStatus.DONE).out()).contains("not saved by");
    replace(
        sidecar(others.get(0)),
        "<rdf:Description ",
        "<rdf:Description xmlns:o='http://o.example/' o:Seen='1' ");
    replace(sidecar(others.get(1)), "ed:Speckle=\"12\"", "ed:Speckle=\"40\"");
    Files.writeString(
        sidecar(others.get(2)), editor("0.00", "5000", "12").replaceAll("(?s) ed:Gain.*?/>", "/>"));
    Cli.Result r = Cli.run("confirm", shoot).is(ExitStatus.ATTENTION);
    assertThat(r.out())
        .contains("1  kept by the editor")
        .contains(others.get(1) + ": changed by hand since (Speckle)")
        .contains(others.get(2) + ": ignored by the editor")
        .contains("--print");
    JsonNode states = Cli.run("confirm", shoot, "--json").json().path("frames");
    assertThat(states.findValuesAsText("state"))
        .contains("kept", "changed_by_hand", "ignored", "not_saved");
  }

  @Test
  void carry_afterTouches_keepsThemUnlessTold() throws IOException {
    carry();
    replace(sidecar(others.get(0)), "ed:Speckle=\"12\"", "ed:Speckle=\"40\"");
    replace(sidecar(reference), "ed:Speckle=\"12\"", "ed:Speckle=\"20\"");
    assertThat(carry().out())
        .contains("Kept as changed by hand: " + others.get(0) + " Speckle set by hand");
    assertThat(sidecar(others.get(0))).content().contains("ed:Speckle=\"40\"");
    assertThat(sidecar(others.get(1))).content().contains("ed:Speckle=\"20\"");
    carry("--over-touches");
    assertThat(sidecar(others.get(0))).content().contains("ed:Speckle=\"20\"");
  }

  @Test
  void carry_beyondTheLimits_clampsAndNeedsEyes() throws IOException {
    Path narrow = folder.resolve("narrow.json");
    Cli.run(teach("--exposure-limits", "-0.25:0.25", "--out", narrow)).is(ExitStatus.DONE);
    map = narrow;
    Cli.Result r = carry().is(ExitStatus.ATTENTION);
    assertThat(r.out()).contains("need");
    assertThat(sidecar(others.get(0)))
        .content()
        .contains("ed:GainStops=\"+0.25\"")
        .contains("beyond what the editor takes");
  }

  @Test
  void revert_afterTwoCarries_saysFrameByFrameAndGoesBackToEither() throws IOException {
    var before = Shoots.contents(shoot);
    carry();
    var first = Shoots.contents(shoot);
    replace(sidecar(reference), "ed:Speckle=\"12\"", "ed:Speckle=\"20\"");
    carry();
    Cli.Result r = Cli.run("revert", shoot);
    for (String f : others) {
      String sidecar = f.replaceAll("\\.[^.]*$", ".xmp");
      assertThat(r.out()).contains(sidecar + ": brought back");
      assertThat(Shoots.contents(shoot).get(sidecar)).isEqualTo(first.get(sidecar));
    }
    carry();
    assertThat(Cli.run("revert", shoot, "--list").out()).contains("0001").contains("undone");
    // the reference was touched after the first carry: it is left, all else is as it was
    Cli.Result all = Cli.run("revert", shoot, "--to", "0001").is(ExitStatus.ATTENTION);
    assertThat(all.out()).contains("touched since, left alone").contains("--over-touches");
    for (String f : others) {
      assertThat(sidecar(f)).doesNotExist();
    }
    Cli.run("revert", shoot, "--to", "0001", "--over-touches").is(ExitStatus.DONE);
    assertThat(Shoots.contents(shoot)).isEqualTo(before);
  }

  private JsonNode trace(String frame) {
    return Cli.run("trace", shoot.resolve(frame), "--json").json();
  }

  @Test
  void trace_touchedByHand_isToldFromIgnoredByTheEditor() throws IOException {
    carry();
    String touched = others.get(0);
    String ignored = others.get(1);
    String alone = others.get(2);
    replace(sidecar(touched), "ed:GainStops=\"[^\"]*\"", "ed:GainStops=\"+3.00\"");
    Files.writeString(sidecar(ignored), editor("0.00", "4321", "7"));

    assertThat(trace(touched).path("touched").asBoolean()).isTrue();
    assertThat(trace(ignored).path("touched").asBoolean()).isFalse();
    assertThat(trace(alone).path("touched").asBoolean()).isFalse();
    for (String frame : List.of(touched, ignored, alone)) {
      assertThat(trace(frame).path("carried").asBoolean()).isTrue();
    }
  }

  @Test
  void pace_gradedInTheEditor_isSeenOnceTheMapIsKnown() {
    String before = Cli.run("pace", shoot, "--json").json().toString();
    carry();
    JsonNode after = Cli.run("pace", shoot, "--json").json();

    String asReference = "\"frames\":[\"" + reference + "\"]";
    assertThat(before).contains(asReference);
    assertThat(after.toString()).doesNotContain(asReference);
  }
}
