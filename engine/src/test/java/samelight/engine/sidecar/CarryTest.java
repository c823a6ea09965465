package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.files.RefusedInputException;
import samelight.engine.match.Grade;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;

class CarryTest {
  @TempDir Path shoot;

  @Test
  void carry_withEditMap_compensatesNumbersAndCarriesTheRest() {
    Fixture f = Fixture.of(shoot, "a/F_1.DNG", "a/F_2.DNG", "a/F_3.DNG");
    f.write("a/F_1.xmp", Fixture.sidecar("+0.350", "5000"));
    CarryResult r = f.carry();

    assertThat(r.counts()).isEqualTo(Map.of(Outcome.WRITTEN, 3));
    assertThat(f.text("a/F_2.xmp", Fixture.GAIN)).isEqualTo("+0.450");
    assertThat(f.text("a/F_3.xmp", Fixture.GAIN)).isEqualTo("+0.550");
    assertThat(f.text("a/F_2.xmp", Fixture.WHITE)).isEqualTo("4950"); // 200 + 2 mired
    assertThat(f.text("a/F_2.xmp", Fixture.SPECKLE)).isEqualTo("12");
    assertThat(f.text("a/F_2.xmp", Fixture.FRAME_BOX)).isNull();
    assertThat(f.read("a/F_2.xmp")).contains("<rdf:li>128, 140</rdf:li>");
    assertThat(f.slr("a/F_2.xmp", "StopsToReference")).isEqualTo("+0.100");
    assertThat(f.slr("a/F_2.xmp", "Exposure")).isEqualTo("+0.450");
    assertThat(Double.parseDouble(String.valueOf(f.slr("a/F_2.xmp", "ColourTemperature"))))
        .isCloseTo(1e6 / 202, within(0.06));
    assertThat(f.slr("a/F_2.xmp", "Reference")).isEqualTo("a/F_1.DNG");
    assertThat(f.read("a/F_2.xmp")).contains("<?xpacket begin=");
  }

  @Test
  void carry_frameThatIsGone_makesNoSidecarAndSaysSo() throws java.io.IOException {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG", "F_3.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.350", "5000"));
    java.nio.file.Files.delete(shoot.resolve("F_3.DNG"));
    CarryResult r = f.carry();

    assertThat(r.counts()).isEqualTo(Map.of(Outcome.WRITTEN, 2, Outcome.GONE, 1));
    assertThat(shoot.resolve("F_3.xmp")).doesNotExist();
  }

  @Test
  void carry_onReference_addsRecipeAndLeavesTheEditAsItIs() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+.35", "5000"));
    f.carry();
    assertThat(f.slr("F_1.xmp", "StopsToReference")).isEqualTo("+0.000");
    assertThat(f.text("F_1.xmp", Fixture.GAIN)).isEqualTo("+.35");
    assertThat(f.text("F_1.xmp", Fixture.FRAME_BOX)).isEqualTo("0.1 0.1 0.9 0.9");
  }

  @Test
  void carry_withoutEditMap_writesOwnPropertiesOnly() {
    Fixture f = Fixture.of(shoot, "F_1.JPG", "F_2.JPG");
    f.maps.clear();
    f.grades.put("F_1.JPG", new Grade(new Ev(0.5), new Kelvin(4000), null));
    CarryResult r = f.carry();
    assertThat(r.counts()).isEqualTo(Map.of(Outcome.WRITTEN, 2));
    assertThat(f.slr("F_2.xmp", "Exposure")).isEqualTo("+0.600");
    assertThat(f.read("F_2.xmp")).doesNotContain("editor.example");
  }

  @Test
  void carry_frameOneStopDarker_hasPlusOneStop() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.match("F_2.DNG", "F_1.DNG", 1, 0);
    f.write("F_1.xmp", Fixture.sidecar("0", "5000"));
    f.carry();
    assertThat(f.slr("F_2.xmp", "StopsToReference")).isEqualTo("+1.000");
  }

  @Test
  void carry_twice_writesNothingTheSecondTime() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG", "F_3.DNG");
    f.match("F_3.DNG", "F_1.DNG", 0.123, 4.4, "light changed here", "a < b & \"c\"");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    f.carry();
    Map<String, String> after = f.snapshot();
    CarryResult again = f.carry();
    assertThat(again.counts()).isEqualTo(Map.of(Outcome.UNCHANGED, 3));
    assertThat(again.carryId()).isEmpty();
    assertThat(again.needsEyes()).containsExactly("F_3.DNG");
    assertThat(f.snapshot()).isEqualTo(after);
  }

  @Test
  void revert_afterCarry_bringsBackEveryByteAndRemovesTheNew() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG", "F_3.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    f.write(
        "F_3.xmp",
        Fixture.sidecar("0", "4000")
            .replaceAll(" ed:.*\"", "")
            .replaceAll("(?s)<ed:Shape.*</ed:Shape>", "<!-- mine -->"));
    Map<String, String> before = f.snapshot();
    f.carry();
    assertThat(f.snapshot()).isNotEqualTo(before);
    RevertResult r = f.revert();
    assertThat(r.counts())
        .isEqualTo(Map.of(RevertResult.What.RESTORED, 2, RevertResult.What.REMOVED, 1));
    assertThat(f.snapshot()).isEqualTo(before);
    assertThat(f.revert()).isEqualTo(RevertResult.NOTHING);
  }

  @Test
  void carry_frameEditedBefore_isLeftAloneAndTestsTheMatch() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    f.write("F_2.xmp", Fixture.sidecar("+0.50", "5100"));
    String own = f.read("F_2.xmp");
    CarryPlan plan = CarryPlan.of(f.request());
    assertThat(plan.counts()).containsEntry(Outcome.EDITED_BEFORE, 1);
    assertThat(plan.matchTests().get(0).difference().stops()).isCloseTo(-0.05, within(1e-9));
    f.carry();
    assertThat(f.read("F_2.xmp")).isEqualTo(own);
  }

  @Test
  void carry_frameRatedMinusOne_getsNoRecipe() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    f.write(
        "F_2.xmp",
        """
        <x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
        <rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmp:Rating="-1"/></rdf:RDF></x:xmpmeta>
        """);
    assertThat(f.carry().counts()).containsEntry(Outcome.REJECTED, 1);
    assertThat(f.slr("F_2.xmp", "Exposure")).isNull();
  }

  @Test
  void carry_malformedSidecar_isNeverOverwritten() throws IOException {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG", "F_3.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    f.write("F_2.xmp", "<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF");
    CarryResult r = f.carry();
    assertThat(r.counts()).isEqualTo(Map.of(Outcome.WRITTEN, 2, Outcome.UNREADABLE, 1));
    assertThat(r.attention()).isTrue();
    assertThat(f.read("F_2.xmp")).isEqualTo("<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF");
  }

  @Test
  void carry_referenceWithoutGrade_isSaid() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    CarryResult r = f.carry();
    assertThat(r.counts()).isEqualTo(Map.of(Outcome.NO_GRADE, 2));
    assertThat(r.attention()).isTrue();
    assertThat(Files.exists(shoot.resolve("F_2.xmp"))).isFalse();
  }

  @Test
  void carry_exposureMissingOrNoNumber_refusesAndWritesNothing() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.write("F_1.xmp", Fixture.sidecar("a lot", "5000"));
    assertThatThrownBy(f::carry)
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("F_1.xmp")
        .hasMessageContaining("GainStops must be a number")
        .hasMessageContaining("a lot");
    f.write("F_1.xmp", Fixture.sidecar("0", "5000").replace("ed:GainStops=\"0\"", ""));
    assertThatThrownBy(f::carry)
        .isInstanceOf(RefusedInputException.class)
        .hasMessageContaining("exposure property");
    assertThat(Files.exists(shoot.resolve("F_2.xmp"))).isFalse();
  }

  @Test
  void carry_groupOfBothKinds_keepsTheGradeToItsKind() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.JPG", "F_3.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    assertThat(f.carry().counts()).isEqualTo(Map.of(Outcome.WRITTEN, 2, Outcome.OTHER_KIND, 1));
  }

  @Test
  void carry_structuresThatTheMapDoesNotKnow_stayWithTheirFrame() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.write(
        "F_1.xmp",
        Fixture.sidecar("+0.35", "5000")
            .replace(
                "<ed:Shape>",
                "<ed:Mask rdf:parseType='Resource'><ed:Of>bride</ed:Of></ed:Mask><ed:Shape>"));
    CarryPlan plan = CarryPlan.of(f.request());
    assertThat(plan.staying()).extracting(PropertyName::property).contains("Mask", "FrameBox");
    assertThat(plan.travelling())
        .extracting(PropertyName::property)
        .containsExactly("GainStops", "Shape", "Speckle", "WhiteKelvin");
    f.carry();
    assertThat(f.read("F_2.xmp")).doesNotContain("bride");
  }

  @Test
  void carry_beyondTheEditorsRange_clampsAndNeedsEyes() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.match("F_2.DNG", "F_1.DNG", 3, 0);
    f.write("F_1.xmp", Fixture.sidecar("+4.00", "5000"));
    CarryResult r = f.carry();
    assertThat(f.text("F_2.xmp", Fixture.GAIN)).isEqualTo("+5.00");
    assertThat(f.slr("F_2.xmp", "Exposure")).isEqualTo("+7.000");
    assertThat(r.needsEyes()).containsExactly("F_2.DNG");
  }

  @Test
  void carry_onlyOneGroup_leavesTheOthers() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG").group("g2", "G_1.DNG", "G_2.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    f.write("G_1.xmp", Fixture.sidecar("+0.35", "5000"));
    CarryRequest r =
        new CarryRequest(
            shoot, f.frames, f.groups, f.matches, Map.of(), f.maps, java.util.Set.of("g2"), false);
    assertThat(CarryPlan.of(r).outcomes())
        .extracting(FrameOutcome::outcome)
        .containsExactly(
            Outcome.NOT_CARRIED, Outcome.NOT_CARRIED, Outcome.WRITTEN, Outcome.WRITTEN);
  }

  @Test
  void trial_ofANewMap_writesOneFrameThatIsNoReference() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG", "F_3.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    try (SidecarSession session = SidecarSession.open(shoot)) {
      CarryPlan plan = CarryPlan.of(f.request());
      assertThat(plan.newMap()).isTrue();
      CarryResult r = Carry.run(session, plan.trial(), Progress.NONE);
      assertThat(r.count(Outcome.WRITTEN)).isEqualTo(1);
      assertThat(CarryPlan.of(f.request()).newMap()).isFalse();
      assertThat(CarryPlan.of(f.request()).counts())
          .isEqualTo(Map.of(Outcome.WRITTEN, 2, Outcome.UNCHANGED, 1));
    }
    assertThat(
            List.of(Files.exists(shoot.resolve("F_2.xmp")), Files.exists(shoot.resolve("F_3.xmp"))))
        .containsExactly(true, false);
  }
}
