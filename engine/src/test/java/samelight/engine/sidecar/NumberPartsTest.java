package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.files.RefusedInputException;

/** Editors that keep their numbers inside structures, arrays and qualifiers (ISO 16684-1, 6.3). */
class NumberPartsTest {
  private static final PropertyName TONE = new PropertyName(Fixture.ED, "Tone");

  @TempDir Path folder;
  private int made;

  /** Ways to write an exposure of %s; the part in which it stands. */
  static Stream<Arguments> forms() {
    return Stream.of(
        Arguments.of(
            "<ed:Tone rdf:parseType='Resource'><ed:Lift>%s</ed:Lift><ed:Look>mellow</ed:Look></ed:Tone>",
            "Lift"),
        Arguments.of("<ed:Tone ed:Lift='%s' ed:Look='mellow'/>", "Lift"),
        Arguments.of(
            "<ed:Tone><rdf:Description><ed:Base rdf:parseType='Resource'><ed:Lift>%s</ed:Lift>"
                + "</ed:Base></rdf:Description></ed:Tone>",
            "Base/Lift"),
        Arguments.of(
            "<ed:Tone rdf:parseType='Resource'><other:Lift xmlns:other='urn:other:'>%s</other:Lift>"
                + "</ed:Tone>",
            "{urn:other:}Lift"),
        Arguments.of(
            "<ed:Tone><rdf:Seq><rdf:li>0.20</rdf:li><rdf:li>%s</rdf:li></rdf:Seq></ed:Tone>",
            "[2]"),
        Arguments.of(
            "<ed:Tone><rdf:Seq><rdf:li ed:Kind='curve' ed:Lift='7'/><rdf:li ed:Kind='tone'"
                + " ed:Lift='%s'/></rdf:Seq></ed:Tone>",
            "[Kind=tone]/Lift"),
        Arguments.of(
            "<ed:Tone rdf:parseType='Resource'><rdf:value>on</rdf:value><ed:Lift>%s</ed:Lift></ed:Tone>",
            "?Lift"));
  }

  private static String sidecar(String form, String gain, String more) {
    return "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><rdf:Description"
        + " rdf:about='' xmlns:ed='"
        + Fixture.ED
        + "' ed:Speckle='12' "
        + more
        + ">"
        + form.formatted(gain)
        + "</rdf:Description></rdf:RDF>";
  }

  private Path example(String form, String gain, String more) throws IOException {
    return Files.writeString(
        folder.resolve("example-" + made++ + ".xmp"), sidecar(form, gain, more));
  }

  private EditMap taught(String form) throws IOException {
    Path a = example(form, "0.00", "ed:Uid='one'");
    Teach.Step one = new Teach.Step(0, 1, a, example(form, "+1.00", "ed:Uid='one'"));
    Teach.Step two = new Teach.Step(0, 2, a, example(form, "+2.00", "ed:Uid='one'"));
    Teach.Pair untouched = new Teach.Pair(a, example(form, "0.00", "ed:Uid='two'"));
    return Teach.learn(
            new Teach.Lessons(
                null, List.of(one, two), List.of(), List.of(), List.of(), untouched, null, null))
        .map();
  }

  /** Another number in the editor's property, and nowhere else. */
  private static String byHand(String sidecar, String from, String to) {
    return sidecar.replaceAll("(?<=[>'\"])" + Pattern.quote(from) + "(?=[<'\"])", to);
  }

  private String gain(Path shoot, String sidecar, EditMap map) throws Exception {
    XmpPacket packet = XmpPacket.parse(Files.readAllBytes(shoot.resolve(sidecar)));
    return Objects.requireNonNull(map.exposure().place().text(packet));
  }

  @ParameterizedTest
  @MethodSource("forms")
  void carry_numberInAPart_isTaughtCompensatedTouchedAndReverted(String form, String part)
      throws Exception {
    EditMap map = taught(form);
    assertThat(map.exposure().name()).isEqualTo(TONE);
    assertThat(map.exposure().part()).isEqualTo(part);
    Path json = Files.writeString(folder.resolve("map.json"), map.toJson());
    assertThat(EditMap.read(json)).isEqualTo(map);

    Path shoot = Files.createDirectory(folder.resolve("shoot"));
    Fixture f = new Fixture(shoot).group("g1", "F_1.DNG", "F_2.DNG", "F_3.DNG");
    f.maps.add(map);
    f.write("F_1.xmp", sidecar(form, "+0.35", "ed:Uid='r'"));
    f.write("F_3.xmp", sidecar(form, "0.00", "ed:Uid='three'"));
    Map<String, String> before = f.snapshot();
    CarryResult r = f.carry();
    boolean inAnArrayOfStructures = part.startsWith("[Kind");
    assertThat(r.count(Outcome.NO_PLACE)).isEqualTo(inAnArrayOfStructures ? 1 : 0);
    assertThat(gain(shoot, "F_3.xmp", map)).isEqualTo("+0.55");
    assertThat(f.read("F_3.xmp"))
        .contains(form.formatted("+0.55").replaceAll("^.*(ed:Lift|<ed:Base)", "$1"))
        .contains("ed:Uid='three'");
    if (!inAnArrayOfStructures) {
      assertThat(gain(shoot, "F_2.xmp", map)).isEqualTo("+0.45");
    }

    f.write("F_3.xmp", byHand(f.read("F_3.xmp"), "+0.55", "+0.85"));
    f.write("F_1.xmp", byHand(f.read("F_1.xmp"), "+0.35", "+1.00"));
    assertThat(f.carry().touches()).containsExactly(new HandTouch("F_3.DNG", TONE, "+0.30 EV"));
    assertThat(gain(shoot, "F_3.xmp", map)).isEqualTo("+1.50");
    assertThat(f.carry().count(Outcome.WRITTEN)).isZero();

    f.write("F_1.xmp", byHand(f.read("F_1.xmp"), "+1.00", "+0.35"));
    try (SidecarSession session = SidecarSession.open(shoot)) {
      Revert.last(session, true, Progress.NONE);
      Revert.last(session, true, Progress.NONE);
    }
    assertThat(f.read("F_3.xmp")).contains("0.00").doesNotContain("slr:");
    assertThat(shoot.resolve("F_2.xmp")).doesNotExist();
    Map<String, String> after = f.snapshot();
    after.remove("F_1.xmp");
    before.remove("F_1.xmp");
    assertThat(after).isEqualTo(before);
  }

  @Test
  void teach_partThatStays_letsOnlyTheNumberTravel() throws Exception {
    String form =
        "<ed:Tone rdf:parseType='Resource'><ed:Lift>%s</ed:Lift><ed:Box>0 0 1 1</ed:Box></ed:Tone>";
    Path a = example(form, "0.00", "");
    Path cropped = example(form.replace("0 0 1 1", "0 0 1 0.5"), "0.00", "");
    Teach.Taught t =
        Teach.learn(
            new Teach.Lessons(
                null,
                List.of(new Teach.Step(0, 1, a, example(form, "+1.00", ""))),
                List.of(),
                List.of(),
                List.of(new Teach.Pair(a, cropped)),
                new Teach.Pair(a, example(form, "0.00", "ed:Uid='two'")),
                null,
                null));
    assertThat(t.map().travels()).isEmpty();
    assertThat(t.notes()).contains("of Tone only the compensated numbers travel");

    Path shoot = Files.createDirectory(folder.resolve("shoot"));
    Fixture f = new Fixture(shoot).group("g1", "F_1.DNG", "F_2.DNG", "F_3.DNG");
    f.maps.add(t.map());
    f.write("F_1.xmp", sidecar(form.replace("0 0 1 1", "0.3 0.3 1 1"), "+0.35", ""));
    f.write("F_3.xmp", sidecar(form, "0.00", ""));
    f.carry();
    assertThat(f.read("F_3.xmp")).contains("0 0 1 1").contains("<ed:Lift>+0.55</ed:Lift>");
    assertThat(f.read("F_2.xmp")).contains("<ed:Lift>+0.45</ed:Lift>").doesNotContain("ed:Box");
  }

  @Test
  void teach_cropThatMovesTheNumber_isRefused() throws Exception {
    String form = "<ed:Tone rdf:parseType='Resource'><ed:Lift>%s</ed:Lift></ed:Tone>";
    Path a = example(form, "0.00", "");
    Path b = example(form, "+1.00", "");
    Teach.Lessons lessons =
        new Teach.Lessons(
            null,
            List.of(new Teach.Step(0, 1, a, b)),
            List.of(),
            List.of(),
            List.of(new Teach.Pair(a, b)),
            null,
            null,
            null);
    assertThatThrownBy(() -> Teach.learn(lessons))
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("Tone/Lift");
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "[0]", "[x", "Lift/", "a:b", "[Kind=tone]x", "?"})
  void part_thatIsNone_isRefused(String part) {
    assertThatThrownBy(() -> NumberPlace.of(TONE, part))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("part must be");
  }

  /** Whatever the steps, a place reads back as it was written. */
  @Property(tries = 200)
  void place_writtenAndParsed_isTheSame(
      @ForAll @Size(min = 1, max = 4) List<@IntRange(min = 0, max = 5) Integer> kinds) {
    List<String> names =
        List.of("Lift", "{urn:a/b}Lift", "?Note", "[7]", "[Kind=a/b c=d]", "[{urn:x}Kind=t]");
    String part = String.join("/", kinds.stream().map(names::get).toList());
    NumberPlace place = NumberPlace.of(TONE, part);
    assertThat(place.part()).isEqualTo(part);
    assertThat(NumberPlace.parse(place.toString())).isEqualTo(place);
  }
}
