package samelight.engine.lighting;

import static org.assertj.core.api.Assertions.assertThat;
import static samelight.engine.testing.FrameBuilder.frame;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.Frame;
import samelight.engine.timeline.Timeline;

class FlashActingTest {
  @Test
  void of_oneThatFallsFarBelowTheOthers_gaveNothing() {
    assertThat(acts(1, 0, 0.1, -0.7, -0.1)).containsExactly(true, true, false, true);
  }

  @Test
  void of_twoThatFallOneAfterTheOther_gaveNothing() {
    assertThat(acts(1, 0, -0.9, -0.85, 0.05)).containsExactly(true, false, false, true);
  }

  @Test
  void of_afterTimeToRecycle_isNotCalledSpent() {
    assertThat(acts(15, 0, 0.1, -0.7, -0.1)).containsExactly(true, true, true, true);
  }

  @Test
  void of_theFirstFlashOfTheDay_isNotCalledSpent() {
    assertThat(acts(1, -0.7, 0, 0.1)).containsExactly(true, true, true);
  }

  @Property
  void of_meteringThatWanders_allAct(
      @ForAll @Size(min = 1, max = 9) List<@DoubleRange(min = -0.19, max = 0.19) Double> gains) {
    double[] gain = gains.stream().mapToDouble(Double::doubleValue).toArray();
    assertThat(acts(1, gain)).doesNotContain(false);
  }

  @Test
  void of_framesWithoutFlash_neverAct() {
    List<Frame> frames = List.of(frame("a.DNG").at(0.0).build(), frame("b.DNG").at(1.0).build());
    var day = Timeline.of(frames, Map.of(), new ArrayList<>());
    double[] none = new double[2];
    Framing framing = new Framing(0, List.of(0, 1), new double[] {0, -1}, none, none, none, 0);
    assertThat(FlashActing.of(day, List.of(framing))).containsExactly(false, false);
  }

  private static boolean[] acts(double pause, double... gain) {
    List<Frame> frames = new ArrayList<>();
    List<Integer> members = new ArrayList<>();
    for (int i = 0; i < gain.length; i++) {
      frames.add(frame("f" + i + ".DNG").at(i * pause).flash(true).build());
      members.add(i);
    }
    double[] none = new double[gain.length];
    Framing framing = new Framing(0, members, gain, none, none, none, 0);
    return FlashActing.of(Timeline.of(frames, Map.of(), new ArrayList<>()), List.of(framing));
  }
}
