package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ConfirmTest {
  @TempDir Path shoot;

  @Test
  void of_afterTheEditorSaved_tellsWhatBecameOfEachFrame() throws IOException {
    Fixture f =
        Fixture.of(
            shoot, "F_1.DNG", "F_2.DNG", "F_3.DNG", "F_4.DNG", "F_5.DNG", "F_6.DNG", "F_7.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    f.carry();
    PropertyName saved = new PropertyName(Fixture.ED, "SavedBy");
    f.touch("F_2.xmp", saved, "editor");
    f.touch("F_3.xmp", Fixture.GAIN, "+1.00");
    f.write("F_4.xmp", Fixture.sidecar("0", "5000").replaceAll("(?s) ed:Gain.*</ed:Shape>", ">"));
    Files.delete(shoot.resolve("F_5.xmp"));
    f.write("F_6.xmp", "<half");
    Confirm.Report r = Confirm.of(shoot, f.frames);
    assertThat(r.entries())
        .extracting(Confirm.Entry::state)
        .containsExactly(
            Confirm.State.NOT_SAVED,
            Confirm.State.KEPT,
            Confirm.State.CHANGED_BY_HAND,
            Confirm.State.IGNORED,
            Confirm.State.GONE,
            Confirm.State.UNREADABLE,
            Confirm.State.NOT_SAVED);
    assertThat(r.entries().get(2).changed()).containsExactly(Fixture.GAIN);
    assertThat(r.attention()).isTrue();
    assertThat(r.counts()).containsEntry(Confirm.State.NOT_SAVED, 2);
  }

  @Test
  void of_afterRevert_hasNothingToTell() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    f.carry();
    f.revert();
    assertThat(Confirm.of(shoot, f.frames).counts()).isEqualTo(Map.of());
  }

  @Test
  void corrections_areInSixthsOfAStop() {
    Fixture f = new Fixture(shoot).group("g1", "A.DNG", "B.DNG", "C.DNG", "D.DNG");
    f.match("B.DNG", "A.DNG", 1.31, -7.6).match("C.DNG", "A.DNG", -0.5, 0);
    f.match("D.DNG", "A.DNG", 2.02, 0, "mixed light");
    assertThat(Corrections.of(f.groups, f.matches))
        .extracting(Corrections.Correction::stops)
        .containsExactly("0", "+1 2/6", "-3/6", "+2");
    assertThat(Corrections.of(f.groups, f.matches).get(1).mired()).isEqualTo(-8);
  }
}
