package samelight.engine.lighting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static samelight.engine.testing.FrameBuilder.frame;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.Frame;
import samelight.engine.timeline.TimedFrame;
import samelight.engine.timeline.Timeline;

class LensLossTest {
  private final List<TimedFrame> frames = day("Wide", "Wide", "Long");

  @Property
  void learn_stepsFromOneLensToTheOther_isTheirLoss(
      @ForAll @DoubleRange(min = -0.7, max = 0.7) double loss, @ForAll long seed) {
    Random r = new Random(seed);
    List<LensLoss.Step> steps = new ArrayList<>();
    for (int i = 0; i < 12; i++) {
      // the long lens passes less, so that its light seems less; either way round
      double error = 0.03 * r.nextGaussian();
      steps.add(
          i % 2 == 0
              ? new LensLoss.Step(frames.get(0), frames.get(2), -loss + error)
              : new LensLoss.Step(frames.get(2), frames.get(1), loss + error));
    }
    LensLoss found = LensLoss.learn(frames, steps);
    assertThat(found.stops(frames.get(2))).isCloseTo(loss, within(0.07));
    assertThat(found.stops(frames.get(0))).isZero();
    assertThat(found.sigma(frames.get(0), frames.get(2))).isBetween(0.005, 0.05);
    assertThat(found.sigma(frames.get(0), frames.get(1))).isZero();
  }

  @Test
  void learn_fewSteps_orALightThatChanges_isNothing() {
    LensLoss.Step step = new LensLoss.Step(frames.get(0), frames.get(2), -0.4);
    LensLoss few = LensLoss.learn(frames, List.of(step, step, step));
    assertThat(few.isEmpty()).isTrue();
    assertThat(few.sigma(frames.get(0), frames.get(2))).isEqualTo(LensLoss.UNKNOWN);
    List<LensLoss.Step> clouds = new ArrayList<>();
    for (int i = 0; i < 8; i++) {
      clouds.add(new LensLoss.Step(frames.get(0), frames.get(2), i % 2 == 0 ? 0.9 : -0.9));
    }
    assertThat(LensLoss.learn(frames, clouds).isEmpty()).isTrue();
  }

  @Test
  void learn_moreSteps_neverRaiseTheDoubt() {
    LensLoss.Step step = new LensLoss.Step(frames.get(0), frames.get(2), -0.4);
    double before = LensLoss.UNKNOWN;
    for (int n = LensLoss.FEWEST; n < 30; n++) {
      List<LensLoss.Step> steps = java.util.Collections.nCopies(n, step);
      double sigma = LensLoss.learn(frames, steps).sigma(frames.get(0), frames.get(2));
      assertThat(sigma).isLessThan(before);
      before = sigma;
    }
  }

  private static List<TimedFrame> day(String... lenses) {
    List<Frame> out = new ArrayList<>();
    for (int i = 0; i < lenses.length; i++) {
      out.add(frame("l" + i + ".DNG").at(i * 10.0).lens(lenses[i]).build());
    }
    return Timeline.of(out, Map.of(), new ArrayList<>());
  }
}
