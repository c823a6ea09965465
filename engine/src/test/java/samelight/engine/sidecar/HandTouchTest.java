package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.Locale;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a person changed on a carried frame survives the next carry. */
class HandTouchTest {
  @TempDir Path shoot;
  private Fixture f = new Fixture(Path.of("."));

  @BeforeEach
  void carryOnce() {
    f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG", "F_3.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    f.carry();
  }

  private void regrade(String gain, String kelvin, String speckle) {
    f.touch("F_1.xmp", Fixture.GAIN, gain);
    f.touch("F_1.xmp", Fixture.WHITE, kelvin);
    f.touch("F_1.xmp", Fixture.SPECKLE, speckle);
  }

  @Test
  void carry_afterTouchOfExposure_isNewPlusTouch() {
    f.touch("F_2.xmp", Fixture.GAIN, "+0.75"); // carried +0.45, so +0.30 by hand
    regrade("+1.00", "5000", "12");
    CarryResult r = f.carry();
    assertThat(f.text("F_2.xmp", Fixture.GAIN)).isEqualTo("+1.40");
    assertThat(f.text("F_3.xmp", Fixture.GAIN)).isEqualTo("+1.20");
    assertThat(f.slr("F_2.xmp", "Exposure")).isEqualTo("+1.100");
    assertThat(r.touches()).containsExactly(new HandTouch("F_2.DNG", Fixture.GAIN, "+0.30 EV"));
  }

  @Test
  void carry_manyTimes_keepsTheTouchAndNeverAddsItTwice() {
    f.touch("F_2.xmp", Fixture.GAIN, "+0.75");
    Map<String, String> touched = f.snapshot();
    for (int i = 0; i < 3; i++) {
      assertThat(f.carry().count(Outcome.WRITTEN)).isZero();
    }
    assertThat(f.snapshot()).isEqualTo(touched);
    regrade("+1.00", "5000", "12");
    f.carry();
    regrade("-0.50", "5000", "12");
    f.carry();
    assertThat(f.text("F_2.xmp", Fixture.GAIN)).isEqualTo("-0.10"); // -0.50 + 0.10 + 0.30
  }

  @Test
  void carry_afterTouchOfKelvin_addsInMired() {
    // carried 1e6/202 = 4950; by hand 4500 = 222.2 mired: +20.2 mired
    f.touch("F_2.xmp", Fixture.WHITE, "4500");
    regrade("+0.35", "4000", "12");
    f.carry();
    double expected = 1e6 / (1e6 / 3968 + (1e6 / 4500 - 1e6 / 4950)); // 3968 = 1e6/252
    assertThat(f.text("F_2.xmp", Fixture.WHITE))
        .isEqualTo(String.format(Locale.ROOT, "%.0f", expected));
  }

  @Test
  void carry_propertySetByHand_staysAsThePersonLeftIt() {
    f.touch("F_2.xmp", Fixture.SPECKLE, "40");
    regrade("+0.35", "5000", "20");
    CarryResult r = f.carry();
    assertThat(f.text("F_2.xmp", Fixture.SPECKLE)).isEqualTo("40");
    assertThat(f.text("F_3.xmp", Fixture.SPECKLE)).isEqualTo("20");
    assertThat(r.touches()).extracting(HandTouch::property).containsExactly(Fixture.SPECKLE);
  }

  @Test
  void carry_propertyAddedOrRemovedByHand_staysSo() {
    PropertyName own = new PropertyName(Fixture.ED, "Grain");
    f.touch("F_2.xmp", own, "7");
    f.write("F_3.xmp", f.read("F_3.xmp").replaceAll("\\s+ed:Speckle=\"12\"", ""));
    f.touch("F_1.xmp", own, "3");
    f.carry();
    assertThat(f.text("F_2.xmp", own)).isEqualTo("7");
    assertThat(f.text("F_3.xmp", own)).isEqualTo("3");
    assertThat(f.text("F_3.xmp", Fixture.SPECKLE)).isNull();
  }

  @Test
  void carry_propertyGoneFromTheReference_isRemovedWhereUntouched() {
    f.touch("F_2.xmp", Fixture.SPECKLE, "40");
    f.write("F_1.xmp", f.read("F_1.xmp").replace(" ed:Speckle=\"12\"", ""));
    f.carry();
    assertThat(f.text("F_2.xmp", Fixture.SPECKLE)).isEqualTo("40");
    assertThat(f.text("F_3.xmp", Fixture.SPECKLE)).isNull();
  }

  @Test
  void carry_ownCropOfAFrame_survives() {
    f.touch("F_2.xmp", Fixture.FRAME_BOX, "0.2 0.2 0.8 0.8");
    regrade("+1.00", "5000", "12");
    f.carry();
    assertThat(f.text("F_2.xmp", Fixture.FRAME_BOX)).isEqualTo("0.2 0.2 0.8 0.8");
    assertThat(f.text("F_2.xmp", Fixture.GAIN)).isEqualTo("+1.10");
  }

  @Test
  void carry_overTouches_writesTheGrade() {
    f.touch("F_2.xmp", Fixture.GAIN, "+0.75");
    f.touch("F_2.xmp", Fixture.SPECKLE, "40");
    f.overTouches = true;
    f.carry();
    assertThat(f.text("F_2.xmp", Fixture.GAIN)).isEqualTo("+0.45");
    assertThat(f.text("F_2.xmp", Fixture.SPECKLE)).isEqualTo("12");
  }

  @Test
  void carry_whereTheEditorDroppedOurProperties_remembersByTheJournal() {
    // the editor rewrote the file: a touch of +0.30, our properties gone
    f.write(
        "F_2.xmp",
        Fixture.sidecar("+0.75", "4950").replace(" ed:FrameBox=\"0.1 0.1 0.9 0.9\"", ""));
    regrade("+1.00", "5000", "12");
    CarryResult r = f.carry();
    assertThat(r.outcomes().get(1).outcome()).isEqualTo(Outcome.WRITTEN);
    assertThat(f.text("F_2.xmp", Fixture.GAIN)).isEqualTo("+1.40");
    assertThat(f.slr("F_2.xmp", "Exposure")).isEqualTo("+1.100");
  }

  /** The frames again, carried from F_2. */
  private Fixture fromTheSecond() {
    Fixture g = new Fixture(shoot);
    g.frames.addAll(f.frames);
    g.maps.addAll(f.maps);
    g.match("F_1.DNG", "F_2.DNG", -0.1, -2);
    g.match("F_2.DNG", "F_2.DNG", 0, 0);
    g.match("F_3.DNG", "F_2.DNG", 0.1, 2);
    g.groups.add(
        new samelight.engine.lighting.LightingGroup(
            "g1", "s1", "F_2.DNG", java.util.List.of("F_1.DNG", "F_2.DNG", "F_3.DNG")));
    return g;
  }

  @Test
  void carry_whereTheEditorDroppedOurPropertiesFromAReference_theJournalStillKnows() {
    Fixture g = fromTheSecond();
    // carried +0.45, now the reference, +0.30 by hand; the editor drops what it doesn't know
    f.write("F_2.xmp", Fixture.sidecar("+0.75", "4950"));
    g.carry();
    f.write("F_2.xmp", Fixture.sidecar("+0.75", "4950"));

    regrade("+1.00", "5000", "12");
    CarryResult r = f.carry();

    assertThat(r.outcomes().get(1).outcome()).isEqualTo(Outcome.WRITTEN);
    assertThat(f.text("F_2.xmp", Fixture.GAIN)).isEqualTo("+1.40"); // 1.00 + 0.10 + 0.30
  }

  @Test
  void carry_withoutAMapBetween_theJournalStillKnows() {
    f.write("F_2.xmp", Fixture.sidecar("+0.75", "4950"));
    Fixture plain = Fixture.of(shoot, "F_1.DNG", "F_2.DNG", "F_3.DNG");
    plain.maps.clear();
    plain.grades.put(
        "F_1.DNG",
        new samelight.engine.match.Grade(new samelight.engine.quantity.Ev(0.5), null, null));
    assertThat(plain.carry().outcomes().get(1).outcome()).isEqualTo(Outcome.WRITTEN);
    f.write("F_2.xmp", Fixture.sidecar("+0.75", "4950"));

    regrade("+1.00", "5000", "12");
    assertThat(f.carry().outcomes().get(1).outcome()).isEqualTo(Outcome.WRITTEN);
    assertThat(f.text("F_2.xmp", Fixture.GAIN)).isEqualTo("+1.40");
  }

  @Test
  void carry_afterThePersonDeletedASidecar_carriesAfresh() throws java.io.IOException {
    java.nio.file.Files.delete(shoot.resolve("F_2.xmp"));
    assertThat(f.carry().outcomes().get(1).outcome()).isEqualTo(Outcome.WRITTEN);
    assertThat(f.text("F_2.xmp", Fixture.GAIN)).isEqualTo("+0.45");
  }

  @Test
  void carry_withAnotherReference_keepsTheHandGradeOfTheFirst() {
    Fixture g = fromTheSecond();
    g.touch("F_2.xmp", Fixture.GAIN, "+0.95");
    CarryResult r = g.carry();
    assertThat(r.outcomes().get(0).outcome()).isEqualTo(Outcome.EDITED_BEFORE);
    assertThat(g.text("F_1.xmp", Fixture.GAIN)).isEqualTo("+0.35");
    assertThat(g.text("F_3.xmp", Fixture.GAIN)).isEqualTo("+1.05");
  }
}
