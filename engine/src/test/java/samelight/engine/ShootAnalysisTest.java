package samelight.engine;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static samelight.engine.testing.FrameBuilder.frame;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Random;
import java.util.Set;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import samelight.engine.frame.Frame;
import samelight.engine.frame.SmallImage;
import samelight.engine.lighting.Decisions;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Match;
import samelight.engine.photometry.SrgbTransfer;
import samelight.engine.testing.Scene;

class ShootAnalysisTest {
  /** Two places, each seen in three framings of three frames; the light of a frame by its place. */
  private static List<Frame> day(long seed, double lightOfSecond, double shift) {
    Random random = new Random(seed);
    List<Frame> out = new ArrayList<>();
    for (int place = 0; place < 2; place++) {
      Scene scene = new Scene(seed * 10 + place);
      double light = place == 0 ? 0 : lightOfSecond;
      for (int framing = 0; framing < 3; framing++) {
        double left = 0.1 + 0.05 * random.nextInt(3);
        double width = 0.4 + 0.05 * random.nextInt(3);
        for (int i = 0; i < 3; i++) {
          int thirds = random.nextInt(3) + (int) Math.round(3 * light);
          double t = 1000 * place + 60 * framing + i * 0.5 + shift;
          out.add(
              frame(String.format("%d%d%d.DNG", place, framing, i))
                  .at(t)
                  .thirds(thirds)
                  .small(scene.image(left, 0.2, width, light - thirds / 3.0, 0))
                  .build());
        }
      }
    }
    return out;
  }

  /** Frames of another place at stepped settings, from which the body's response is learned. */
  private static List<Frame> steps() {
    Scene scene = new Scene(99);
    List<Frame> out = new ArrayList<>();
    for (int i = 0; i < 6; i++) {
      int thirds = i % 2 == 0 ? 0 : 3;
      out.add(
          frame("step" + i + ".DNG")
              .at(-2000 + i * 0.5)
              .thirds(thirds)
              .small(scene.image(0.1, 0.2, 0.5, -thirds / 3.0, 0))
              .build());
    }
    return out;
  }

  private static Match match(Analysis a, String frame) {
    return Objects.requireNonNull(a.matches().get(frame));
  }

  @Test
  void of_frameOneStopDarkerInSteadyLight_isBrightenedByExactlyOneStop() {
    Scene scene = new Scene(77);
    List<Frame> frames = new ArrayList<>();
    for (int i = 0; i < 5; i++) {
      frames.add(
          frame("s" + i + ".DNG")
              .at(i * 0.5)
              .thirds(i == 4 ? 3 : 0)
              .small(scene.image(0.1, 0.2, 0.5, i == 4 ? -1 : 0, 0))
              .build());
    }
    Analysis a = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);

    assertThat(a.groups()).hasSize(1);
    assertThat(match(a, "s4.DNG").stops().stops()).isEqualTo(1.0);
    assertThat(match(a, "s4.DNG").needsEyes()).isEmpty();
  }

  @Test
  void of_cloudAtFixedSettings_isFollowedByThePictures() {
    Scene scene = new Scene(78);
    List<Frame> frames = new ArrayList<>(steps());
    for (int i = 0; i < 8; i++) {
      double light = i < 4 ? 0 : -0.9;
      frames.add(
          frame("c" + i + ".DNG")
              .at(i * 40.0)
              .small(scene.image(0.1 + 0.01 * i, 0.2, 0.5, light, 0))
              .build());
    }
    Analysis a = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);

    assertThat(a.groups()).hasSize(2);
    double before = match(a, "c1.DNG").stops().stops();
    double after = match(a, "c6.DNG").stops().stops();
    assertThat(after - before).isCloseTo(0.9, within(0.04));
  }

  /** A place seen at two crops in turn, each minute, and at one time another place. */
  private static List<Frame> aloneAmid(int seed, double perMinute, int alone, int thirds) {
    Scene scene = new Scene(seed);
    List<Frame> frames = new ArrayList<>(steps());
    for (int i = 0; i < 16; i++) {
      double light = perMinute * i;
      boolean other = i == alone;
      SmallImage image =
          other
              ? new Scene(seed + 5000).image(0.1, 0.2, 0.5, light - thirds / 3.0, 0)
              : scene.image(0.1 + 0.1 * (i % 2), 0.2, 0.5, light, 0);
      frames.add(
          frame(String.format("a%02d.DNG", i))
              .at(i * 60.0)
              .thirds(other ? thirds : 0)
              .small(image)
              .build());
    }
    return frames;
  }

  @ParameterizedTest
  @CsvSource({"1, 6, -1", "2, 7, 0", "3, 8, 1", "4, 9, -1"})
  void of_frameAloneAmidSteadyLight_followsTheSettingsAndNeedsNoEyes(
      int seed, int alone, int thirds) {
    Analysis a = ShootAnalysis.of(aloneAmid(seed, 0, alone, thirds), AnalysisOptions.DEFAULT);
    Match m = match(a, String.format("a%02d.DNG", alone));

    assertThat(m.reference()).isNotEqualTo(m.frame());
    assertThat(m.stops().stops()).isCloseTo(thirds / 3.0, within(0.08));
    assertThat(m.needsEyes()).isEmpty();
  }

  /** A content that is much darker or brighter than the place may well stand in another light. */
  @Property(tries = 15)
  void of_frameAloneAmidSteadyLight_isAsFarOffAsItSays(
      @ForAll @IntRange(min = 1, max = 1000) int seed,
      @ForAll @IntRange(min = 4, max = 11) int alone,
      @ForAll @IntRange(min = -1, max = 1) int thirds) {
    Analysis a = ShootAnalysis.of(aloneAmid(seed, 0, alone, thirds), AnalysisOptions.DEFAULT);
    Match m = match(a, String.format("a%02d.DNG", alone));
    if (!m.frame().equals(m.reference())) {
      assertThat(m.stops().stops())
          .isCloseTo(thirds / 3.0, within(Math.max(0.08, 2 * m.stopsSigma().stops())));
    }
  }

  @Property(tries = 15)
  void of_frameAloneAmidASunset_isTakenForWhatStoodBetween(
      @ForAll @IntRange(min = 1, max = 1000) int seed,
      @ForAll @IntRange(min = 4, max = 11) int alone) {
    double fall = -0.1;
    Analysis a = ShootAnalysis.of(aloneAmid(seed, fall, alone, 0), AnalysisOptions.DEFAULT);
    Match m = match(a, String.format("a%02d.DNG", alone));
    if (!m.frame().equals(m.reference())) {
      int reference = Integer.parseInt(m.reference().substring(1, 3));
      double stops = -fall * (alone - reference);
      assertThat(Math.abs(m.stops().stops() - stops))
          .isLessThanOrEqualTo(Math.max(0.12, 2 * m.stopsSigma().stops()));
      assertThat(m.stops().stops()).isCloseTo(stops, within(0.3));
    }
  }

  @Test
  void of_followNothing_leavesWhatTheLightDid() {
    Scene scene = new Scene(78);
    List<Frame> frames = new ArrayList<>();
    for (int i = 0; i < 6; i++) {
      frames.add(
          frame("c" + i + ".DNG")
              .at(i * 40.0)
              .small(scene.image(0.1, 0.2, 0.5, i < 3 ? 0 : -0.9, 0))
              .build());
    }
    Analysis a =
        ShootAnalysis.of(frames, new AnalysisOptions(Map.of(), Decisions.NONE, Set.of(), 0));
    for (Match m : a.matches().values()) {
      assertThat(m.stops().stops()).isCloseTo(0, within(1e-9));
    }
  }

  @Test
  void of_flashThatDidNotRecycle_leavesTheFlashAndJoinsWhatWasMadeWithout() {
    Scene scene = new Scene(79);
    List<Frame> frames = new ArrayList<>(steps());
    for (int i = 0; i < 9; i++) {
      boolean lit = i < 6 && i != 3;
      frames.add(
          frame("f" + i + ".DNG")
              .at(i * 1.0)
              .flash(i < 6)
              .small(scene.image(0.1, 0.2, 0.5, lit ? 0 : -1.3, 0))
              .build());
    }
    Analysis a = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    assertThat(match(a, "f1.DNG").needsEyes()).isEmpty();
    assertThat(match(a, "f1.DNG").reference()).isEqualTo(match(a, "f5.DNG").reference());
    assertThat(match(a, "f3.DNG").reference()).isEqualTo(match(a, "f7.DNG").reference());
    assertThat(match(a, "f3.DNG").reference()).isNotEqualTo(match(a, "f1.DNG").reference());
    assertThat(match(a, "f3.DNG").needsEyes()).isEmpty();
    assertThat(match(a, "f3.DNG").stops().stops() - match(a, "f7.DNG").stops().stops())
        .isCloseTo(0, within(0.05));
  }

  @Test
  void of_lampsThatFlicker_needEyesThoughTheDifferenceIsKnown() {
    Scene scene = new Scene(82);
    List<Frame> frames = new ArrayList<>(steps());
    for (int i = 0; i < 6; i++) {
      // 1/125 s, EV 9: a hall by lamplight, one frame in the trough of the mains
      frames.add(
          frame("m" + i + ".DNG")
              .at(i * 1.0)
              .small(scene.image(0.1, 0.2, 0.5, i == 3 ? -0.8 : 0, 0))
              .build());
    }
    Analysis a = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    assertThat(match(a, "m3.DNG").stops().stops()).isCloseTo(0.8, within(0.05));
    assertThat(match(a, "m3.DNG").needsEyes()).anyMatch(r -> r.startsWith("flicker"));
    assertThat(match(a, "m1.DNG").needsEyes()).isEmpty();
  }

  @Test
  void of_framesThatAnElectronicShutterBanded_needEyes_thoseWithoutBandsDont() {
    List<Frame> frames = new ArrayList<>(steps());
    for (int i = 0; i < 4; i++) {
      // 1/125 s, EV 9: a hall by lamplight
      frames.add(
          frame("b" + i + ".DNG")
              .at(i * 1.0)
              .small(banded(new Scene(85).image(0.1, 0.2, 0.5, 0, 0), 0.37 * i))
              .build());
      frames.add(
          frame("p" + i + ".DNG")
              .at(400 + i * 1.0)
              .small(new Scene(86).image(0.1, 0.2, 0.5, 0.1 * i, 0))
              .build());
    }
    Analysis a = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    for (int i = 0; i < 4; i++) {
      Match m = match(a, "b" + i + ".DNG");
      if (!m.frame().equals(m.reference())) {
        assertThat(m.needsEyes()).anyMatch(r -> r.startsWith("banded"));
        assertThat(m.stops().stops()).isCloseTo(0, within(0.06));
      }
      assertThat(match(a, "p" + i + ".DNG").needsEyes()).noneMatch(r -> r.startsWith("banded"));
    }
  }

  private static SmallImage banded(SmallImage image, double phase) {
    byte[] rgb = image.rgb().clone();
    int row = image.width() * 3;
    for (int i = 0; i < rgb.length; i++) {
      double share = (Math.floorDiv(i, row) + 0.5) / image.height();
      double gain = Math.pow(2, 0.3 * Math.cos(2 * Math.PI * (3 * share + phase)));
      double linear = gain * SrgbTransfer.decode((rgb[i] & 255) / 255.0);
      rgb[i] = (byte) SrgbTransfer.encode8(Math.min(1, linear));
    }
    return new SmallImage(image.width(), image.height(), rgb);
  }

  /** Frames of one place, the last one 2/3 stop darker, each with a window of these sizes. */
  private static List<Frame> lastWithWindow(int side, int sideBefore) {
    Scene scene = new Scene(83);
    List<Frame> frames = new ArrayList<>(steps());
    for (int i = 0; i < 4; i++) {
      SmallImage image = scene.image(i == 3 ? 0.3 : 0.1, 0.2, 0.5, i == 3 ? -2 / 3.0 : 0, 0);
      frames.add(
          frame("k" + i + ".DNG")
              .at(i * 30.0)
              .small(withWindow(image, i == 3 ? side : sideBefore))
              .thirds(i == 3 ? 2 : 0)
              .build());
    }
    return frames;
  }

  private static SmallImage withWindow(SmallImage image, int side) {
    byte[] rgb = image.rgb().clone();
    for (int y = 0; y < side; y++) {
      java.util.Arrays.fill(rgb, y * image.width() * 3, (y * image.width() + side) * 3, (byte) 255);
    }
    return new SmallImage(image.width(), image.height(), rgb);
  }

  @Test
  void of_darkerFrameWithClippedHighlights_saysThatBrighteningDoesNotBringThemBack() {
    Analysis a = ShootAnalysis.of(lastWithWindow(20, 0), AnalysisOptions.DEFAULT);
    Match m = match(a, "k3.DNG");
    assertThat(m.stops().stops()).isGreaterThan(0.5);
    assertThat(m.needsEyes()).anyMatch(r -> r.startsWith("highlights clipped"));
  }

  @Test
  void of_highlightsThatAreWhiteInTheReferenceToo_needNoEyes() {
    Analysis a = ShootAnalysis.of(lastWithWindow(20, 20), AnalysisOptions.DEFAULT);
    Match m = match(a, "k3.DNG");
    assertThat(m.stops().stops()).isGreaterThan(0.5);
    assertThat(m.needsEyes()).isEmpty();
  }

  @Test
  void of_driftOfAutomaticWhiteBalance_isNotTakenForLight() {
    Scene scene = new Scene(80);
    List<Frame> frames = new ArrayList<>();
    for (int i = 0; i < 6; i++) {
      // the camera balanced for another white in the second framing: the picture has the cast
      double asShot = i < 3 ? 5000 : 4400;
      double red =
          samelight.engine.colour.WhiteRatios.of(new samelight.engine.quantity.Kelvin(5000))
                  .redGreen()
              - samelight.engine.colour.WhiteRatios.of(new samelight.engine.quantity.Kelvin(asShot))
                  .redGreen();
      frames.add(
          frame("w" + i + ".DNG")
              .at(i * 30.0)
              .kelvin(asShot)
              .small(scene.image(0.1, 0.2, 0.5, 0, red))
              .build());
    }
    Analysis a = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    // the test picture moves red only, so a part of the shift (blue) stays visible
    for (Match m : a.matches().values()) {
      assertThat(Math.abs(m.mired().value())).isLessThan(20);
    }
  }

  @ParameterizedTest
  @CsvSource({"0.3, 1", "1.1, 2"})
  void of_lampOverOnePlace_isALightOfItsOwnWhereTheColourIsAnother(double redder, int groups) {
    Scene scene = new Scene(81);
    List<Frame> frames = new ArrayList<>();
    for (int i = 0; i < 8; i++) {
      frames.add(
          frame("l" + i + ".DNG")
              .at(i * 30.0 + (i < 4 ? 0 : 300))
              .kelvin(5000)
              .small(scene.image(0.1 + 0.01 * i, 0.2, 0.5, 0, i < 4 ? 0 : redder))
              .build());
    }
    assertThat(ShootAnalysis.of(frames, AnalysisOptions.DEFAULT).groups()).hasSize(groups);
  }

  @Test
  void of_noFrames_isEmpty() {
    Analysis a = ShootAnalysis.of(List.of(), AnalysisOptions.DEFAULT);
    assertThat(a.groups()).isEmpty();
    assertThat(a.sections()).isEmpty();
  }

  @Test
  void of_onePathTwice_isRefused() {
    Frame f = frame("x.DNG").build();
    assertThatThrownBy(() -> ShootAnalysis.of(List.of(f, f), AnalysisOptions.DEFAULT))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("distinct")
        .hasMessageContaining("x.DNG");
  }

  @Test
  void of_frameWithoutSettingsAndPicture_needsEyesOrItsOwnGroup() {
    List<Frame> frames = new ArrayList<>(day(3, 2, 0));
    frames.add(frame("zz.DNG").at(61.0).thirds(null).build());
    Analysis a = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    Match m = match(a, "zz.DNG");
    assertThat(m.reference().equals("zz.DNG") || !m.needsEyes().isEmpty()).isTrue();
  }

  @Test
  void of_twoPlaces_areTwoGroups() {
    Analysis a = ShootAnalysis.of(day(5, 3, 0), AnalysisOptions.DEFAULT);
    assertThat(a.groups()).hasSize(2);
    assertThat(a.groups().get(0).frames()).allMatch(f -> f.startsWith("0"));
  }

  @Test
  void of_decisions_outrankWhatIsFound() {
    Decisions decisions =
        new Decisions(
            List.of("002.DNG", "011.DNG"),
            List.of("120.DNG"),
            List.of(new Decisions.Join("010.DNG", "101.DNG")),
            Map.of("000.DNG", "Dressing"));
    Analysis a =
        ShootAnalysis.of(day(5, 3, 0), new AnalysisOptions(Map.of(), decisions, Set.of(), 1));
    assertThat(a.groups()).extracting(LightingGroup::reference).contains("011.DNG");
    LightingGroup joined =
        a.groups().stream().filter(g -> g.frames().contains("010.DNG")).findFirst().orElseThrow();
    assertThat(joined.frames()).contains("101.DNG").doesNotContain("120.DNG");
    assertThat(a.sections().get(0).name()).isEqualTo("Dressing");
    assertThat(match(a, "101.DNG").needsEyes()).isNotEmpty();
  }

  @Property(tries = 15)
  void of_anyDay_keepsEveryFrameInOnePlace(
      @ForAll @IntRange(min = 1, max = 1000) int seed,
      @ForAll @DoubleRange(min = -2, max = 3) double light) {
    List<Frame> frames = day(seed, light, 0);
    Analysis a = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    List<String> placed = new ArrayList<>(a.unmatched().keySet());
    a.groups().forEach(g -> placed.addAll(g.frames()));
    assertThat(placed).hasSameSizeAs(frames);
    assertThat(new HashSet<>(placed)).hasSameSizeAs(frames);
    assertThat(a.matches().keySet()).hasSameSizeAs(frames);
  }

  @Property(tries = 10)
  void of_shuffledFrames_givesTheSame(@ForAll @IntRange(min = 1, max = 1000) int seed) {
    List<Frame> frames = day(seed, 2, 0);
    Analysis a = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    List<Frame> shuffled = new ArrayList<>(frames);
    Collections.shuffle(shuffled, new Random(seed));
    Analysis b = ShootAnalysis.of(shuffled, AnalysisOptions.DEFAULT);
    assertThat(b.groups()).isEqualTo(a.groups());
    assertThat(b.matches()).isEqualTo(a.matches());
  }

  @Property(tries = 10)
  void of_allClocksShifted_groupsTheSame(
      @ForAll @IntRange(min = 1, max = 1000) int seed,
      @ForAll @IntRange(min = -40_000, max = 40_000) int seconds) {
    Analysis a = ShootAnalysis.of(day(seed, 2, 0), AnalysisOptions.DEFAULT);
    Analysis b = ShootAnalysis.of(day(seed, 2, seconds), AnalysisOptions.DEFAULT);
    assertThat(b.groups()).isEqualTo(a.groups());
    assertThat(b.matches()).isEqualTo(a.matches());
  }

  @Property(tries = 10)
  void of_otherReference_negatesTheMatch(@ForAll @IntRange(min = 1, max = 1000) int seed) {
    List<Frame> frames = day(seed, 2, 0);
    Analysis a = ShootAnalysis.of(frames, AnalysisOptions.DEFAULT);
    LightingGroup group = a.groups().get(0);
    String other =
        group.frames().stream().filter(f -> !f.equals(group.reference())).findFirst().orElseThrow();
    Decisions decisions = new Decisions(List.of(other), List.of(), List.of(), Map.of());
    Analysis b = ShootAnalysis.of(frames, new AnalysisOptions(Map.of(), decisions, Set.of(), 1));
    assertThat(match(b, group.reference()).stops().stops())
        .isCloseTo(-match(a, other).stops().stops(), within(1e-9));
    assertThat(match(b, group.reference()).mired().value())
        .isCloseTo(-match(a, other).mired().value(), within(1e-6));
  }

  @Property(tries = 10)
  void of_anyDay_isZeroOnReferences(@ForAll @IntRange(min = 1, max = 1000) int seed) {
    Analysis a = ShootAnalysis.of(day(seed, 2, 0), AnalysisOptions.DEFAULT);
    for (LightingGroup g : a.groups()) {
      Match m = match(a, g.reference());
      assertThat(m.stops().stops()).isZero();
      assertThat(m.stopsSigma().stops()).isZero();
      assertThat(m.mired().value()).isZero();
      assertThat(m.needsEyes()).isEmpty();
    }
  }

  @Property(tries = 10)
  void of_lightChangedBetweenGroups_changesNothingInside(
      @ForAll @IntRange(min = 1, max = 1000) int seed) {
    Analysis a = ShootAnalysis.of(day(seed, 2, 0), AnalysisOptions.DEFAULT);
    Analysis b = ShootAnalysis.of(day(seed, 3, 0), AnalysisOptions.DEFAULT);
    for (String f : a.matches().keySet()) {
      if (match(a, f).reference().equals(match(b, f).reference())) {
        assertThat(match(b, f).stops().stops())
            .isCloseTo(match(a, f).stops().stops(), within(0.02));
      }
    }
  }
}
