package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.RefusedInputException;
import samelight.engine.sidecar.NumberProperty.Unit;

/** Edit maps are learned from examples of invented editors. */
class TeachTest {
  private static final String NS = "http://another.example/";

  @TempDir Path folder;
  private int number;

  private Path sidecar(String attributes, String elements) {
    try {
      Path file = folder.resolve("x" + number++ + ".xmp");
      return Files.writeString(
          file,
          "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><rdf:Description"
              + " xmlns:z='"
              + NS
              + "' xmlns:xmp='http://ns.adobe.com/xap/1.0/' xmp:ModifyDate='2026-06-20T10:00:0"
              + number % 10
              + "Z' "
              + attributes
              + ">"
              + elements
              + "</rdf:Description></rdf:RDF>");
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  private Path sidecar(String attributes) {
    return sidecar(attributes, "");
  }

  private Teach.Step step(double from, double to, String before, String after) {
    return new Teach.Step(from, to, sidecar(before), sidecar(after));
  }

  private static Teach.Lessons lessons(
      List<Teach.Step> exposure,
      List<Teach.Step> kelvin,
      List<Teach.Pair> stays,
      Teach.@Nullable Pair untouched) {
    return new Teach.Lessons(null, exposure, kelvin, List.of(), stays, untouched, null, null);
  }

  private static EditMap learn(Teach.Step... exposure) {
    return Teach.learn(lessons(List.of(exposure), List.of(), List.of(), null)).map();
  }

  @Test
  void learn_stopsAndKelvin_areTheNumbersThemselves() {
    Teach.Taught t =
        Teach.learn(
            lessons(
                List.of(step(0, 1, "z:E='0.00' z:K='5000'", "z:E='+1.00' z:K='5000'")),
                List.of(step(5000, 6000, "z:E='0.00' z:K='5000'", "z:E='0.00' z:K='6000'")),
                List.of(
                    new Teach.Pair(
                        sidecar("z:E='0.00'"), sidecar("z:E='0.00' z:Crop='0 0 0.5 0.5'"))),
                null));
    EditMap map = t.map();
    assertThat(map.namespaces()).containsExactly(NS);
    assertThat(map.exposure().property()).isEqualTo("E");
    assertThat(map.exposure().relation()).isNull();
    assertThat(map.exposure().example()).isEqualTo("+1.00");
    assertThat(Objects.requireNonNull(map.cct()).unit()).isEqualTo(Unit.KELVIN);
    assertThat(map.stays()).containsExactly(new PropertyName(NS, "Crop"));
  }

  @Test
  void learn_mired_isFoundAsMired() {
    EditMap map =
        Teach.learn(
                lessons(
                    List.of(step(0, 1, "z:E='0'", "z:E='1'")),
                    List.of(step(5000, 4000, "z:M='200.0'", "z:M='250.0'")),
                    List.of(),
                    null))
            .map();
    assertThat(Objects.requireNonNull(map.cct()).unit()).isEqualTo(Unit.MIRED);
    assertThat(map.cct().relation()).isNull();
  }

  @Test
  void learn_oneStepOfAnotherScale_asksForASecond() {
    assertThatThrownBy(() -> learn(step(0, 1, "z:E='0'", "z:E='100'")))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("give a second step");
  }

  @Test
  void learn_affine_findsScaleAndOffset() {
    EditMap map = learn(step(0, 1, "z:E='50'", "z:E='70'"), step(0, -2, "z:E='50'", "z:E='10'"));
    assertThat(map.exposure().relation()).isEqualTo(new Relation(Relation.Kind.AFFINE, 20, 50));
  }

  @Test
  void learn_gainFactor_isExponential() {
    EditMap map =
        learn(step(0, 1, "z:E='1.000'", "z:E='2.000'"), step(0, 2, "z:E='1.000'", "z:E='4.000'"));
    assertThat(map.exposure().relation()).isEqualTo(new Relation(Relation.Kind.EXPONENTIAL, 1, 0));
  }

  @Test
  void learn_logarithmOfKelvin_isFound() {
    List<Teach.Step> steps = new ArrayList<>();
    for (double k : new double[] {4000, 8000, 10000}) {
      steps.add(step(5000, k, "z:K='" + log(5000) + "'", "z:K='" + log(k) + "'"));
    }
    EditMap map =
        Teach.learn(lessons(List.of(step(0, 1, "z:E='0'", "z:E='1'")), steps, List.of(), null))
            .map();
    Relation r = Objects.requireNonNull(Objects.requireNonNull(map.cct()).relation());
    assertThat(r.kind()).isEqualTo(Relation.Kind.LOGARITHMIC);
    assertThat(r.scale()).isCloseTo(30, within(0.05));
    assertThat(r.quantity(r.number(6300))).isCloseTo(6300, within(1e-6));
  }

  private static String log(double kelvin) {
    return String.format(java.util.Locale.ROOT, "%.3f", 30 * Math.log(kelvin / 5000) / Math.log(2));
  }

  @Test
  void learn_bentCurve_isRefused() {
    assertThatThrownBy(
            () ->
                learn(
                    step(0, 1, "z:E='0.00'", "z:E='1.10'"),
                    step(0, 2, "z:E='0.00'", "z:E='1.50'"),
                    step(0, 3, "z:E='0.00'", "z:E='9.00'")))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("neither in a straight line");
  }

  @Test
  void learn_propertyThatIsAbsentAtZero_notesWhatAbsenceMeans() {
    EditMap map = learn(step(0, 1, "", "z:E='+1.00'"), step(0, 2, "", "z:E='+2.00'"));
    assertThat(map.exposure().absent()).isEqualTo(0.0);
  }

  @Test
  void learn_companions_travelAndCountersStay() {
    Teach.Taught t =
        Teach.learn(
            lessons(
                List.of(step(0, 1, "z:E='0.00' z:N='1' z:D='a1'", "z:E='1.00' z:N='2' z:D='b7'")),
                List.of(
                    step(
                        5000,
                        6000,
                        "z:K='5000' z:N='4' z:Mode='as shot' z:D='c1'",
                        "z:K='6000' z:N='5' z:Mode='own' z:D='e5'")),
                List.of(),
                null));
    assertThat(t.map().stays())
        .containsExactly(new PropertyName(NS, "D"), new PropertyName(NS, "N"));
    assertThat(t.notes()).anyMatch(n -> n.contains("Mode changes with white balance and travels"));
  }

  @Test
  void learn_opaqueText_isRefusedWithTheReason() {
    assertThatThrownBy(
            () ->
                learn(
                    step(
                        0,
                        1,
                        "z:B='" + "QUJD".repeat(40) + "'",
                        "z:B='" + "REVG".repeat(40) + "'")))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("opaque text of 160 characters")
        .hasMessageContaining("sixths of a stop");
  }

  @Test
  void learn_changedEverywhere_isRefused() {
    StringBuilder a = new StringBuilder();
    StringBuilder b = new StringBuilder();
    for (int i = 0; i < 12; i++) {
      a.append(" z:P").append(i).append("='").append(i).append('\'');
      b.append(" z:P").append(i).append("='").append(i + 1).append('\'');
    }
    assertThatThrownBy(() -> learn(step(0, 1, a.toString(), b.toString())))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("12 of 12 changed");
  }

  @Test
  void learn_sameFileTwice_saysThatEditsAreKeptElsewhere() {
    Path file = sidecar("z:E='0'");
    assertThatThrownBy(() -> learn(new Teach.Step(0, 1, file, file)))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("save the metadata out");
  }

  @Test
  void learn_fileOfAnOwnFormat_isRefused() throws IOException {
    Path file = Files.writeString(folder.resolve("a.edit"), "binary");
    assertThatThrownBy(() -> learn(new Teach.Step(0, 1, file, file)))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("can't be understood");
  }

  @Test
  void learn_twoUntouched_tellWhatBelongsToTheFrame() {
    Teach.Taught t =
        Teach.learn(
            lessons(
                List.of(
                    step(0, 1, "z:E='0.00' z:Lens='a' z:V='3'", "z:E='1.00' z:Lens='a' z:V='3'")),
                List.of(),
                List.of(),
                new Teach.Pair(
                    sidecar("z:E='0.00' z:Lens='a' z:V='3'"),
                    sidecar("z:E='0.00' z:Lens='b' z:V='3'"))));
    assertThat(t.map().stays()).containsExactly(new PropertyName(NS, "Lens"));
    assertThat(t.map().untouched())
        .extracting(EditMap.Untouched::property)
        .containsExactly("E", "V");
  }

  @Test
  void learn_kelvinThatDiffersBetweenUntouchedFrames_tellsNothingOfAnEdit() throws Exception {
    Teach.Taught t =
        Teach.learn(
            lessons(
                List.of(step(0, 1, "z:E='0.00' z:K='5000'", "z:E='1.00' z:K='5000'")),
                List.of(step(5000, 6000, "z:E='0.00' z:K='5000'", "z:E='0.00' z:K='6000'")),
                List.of(),
                new Teach.Pair(
                    sidecar("z:E='0.00' z:K='5050'"), sidecar("z:E='0.00' z:K='4800'"))));
    EditMap map = EditMap.read(Files.writeString(folder.resolve("map.json"), t.map().toJson()));
    assertThat(map).isEqualTo(t.map());
    assertThat(t.notes()).anyMatch(n -> n.startsWith("K differs between frames"));
    assertThat(EditorProperties.edited(packet("z:E='0.00' z:K='6100'"), map)).isFalse();
    assertThat(EditorProperties.edited(packet("z:E='0.10' z:K='6100'"), map)).isTrue();
    assertThat(EditorProperties.edited(packet("z:E='0.00' z:K='6100' z:New='1'"), map)).isTrue();
  }

  private XmpPacket packet(String attributes) throws Exception {
    return XmpPacket.parse(Files.readAllBytes(sidecar(attributes)));
  }

  @Test
  void carry_withATaughtMap_leavesUntouchedFramesFreeToBeCarriedTo() throws Exception {
    EditMap map =
        Teach.learn(
                lessons(
                    List.of(
                        step(0, 1, "z:E='50' z:V='3'", "z:E='60' z:V='3'"),
                        step(0, 2, "z:E='50' z:V='3'", "z:E='70' z:V='3'")),
                    List.of(),
                    List.of(),
                    new Teach.Pair(sidecar("z:E='50' z:V='3'"), sidecar("z:E='50' z:V='3'"))))
            .map();
    assertThat(EditMap.read(Files.writeString(folder.resolve("map.json"), map.toJson())))
        .isEqualTo(map);
    Path shoot = folder.resolve("shoot");
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG", "F_3.DNG");
    f.maps.clear();
    f.maps.add(map);
    Files.copy(sidecar("z:E='55' z:V='3'"), shoot.resolve("F_1.xmp"));
    Files.copy(sidecar("z:E='50' z:V='3'"), shoot.resolve("F_2.xmp"));
    Files.copy(sidecar("z:E='52' z:V='3'"), shoot.resolve("F_3.xmp"));
    assertThat(f.carry().outcomes())
        .extracting(FrameOutcome::outcome)
        .containsExactly(Outcome.WRITTEN, Outcome.WRITTEN, Outcome.EDITED_BEFORE);
    assertThat(f.slr("F_1.xmp", "Exposure")).isEqualTo("+0.500");
    assertThat(f.text("F_2.xmp", new PropertyName(NS, "E"))).isEqualTo("56"); // 50 + 10 (0.5 + 0.1)
  }
}
