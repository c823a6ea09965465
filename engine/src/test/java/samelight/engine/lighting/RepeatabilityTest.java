package samelight.engine.lighting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;
import samelight.engine.likeness.SharedContent;

class RepeatabilityTest {
  @Test
  void learned_nothing_isThePrior() {
    Repeatability r = new Repeatability.Learner().learned();
    assertThat(r.settings()).isCloseTo(Repeatability.PRIOR_SETTINGS, within(1e-12));
    assertThat(r.flash()).isCloseTo(0.35, within(1e-12));
  }

  @Property
  void learned_manySteps_areTheirRootMeanSquare(
      @ForAll @DoubleRange(min = 0.01, max = 0.06) double error) {
    Repeatability.Learner learner = new Repeatability.Learner();
    for (int i = 0; i < 5000; i++) {
      learner.settled(i % 2 == 0 ? error : -error);
    }
    assertThat(learner.learned().settings()).isCloseTo(error, within(0.001));
  }

  @Test
  void learned_stepsAsSmallAsStated_neverRaiseIt() {
    Repeatability.Learner learner = new Repeatability.Learner();
    double before = learner.learned().settings();
    for (int i = 0; i < 50; i++) {
      learner.settled(0.015);
      assertThat(learner.learned().settings()).isLessThan(before);
      before = learner.learned().settings();
    }
  }

  @Test
  void learned_flashThatReachesAllAlike_isTrusted_flashOnPartOfThePicture_isNot() {
    assertThat(learned(0.02).flash()).isLessThan(0.1);
    assertThat(learned(0.08).flash()).isGreaterThan(0.3);
  }

  private static Repeatability learned(double spreadWithFlash) {
    Repeatability.Learner learner = new Repeatability.Learner();
    for (int i = 0; i < 40; i++) {
      learner.parts(step(0, 0.02), false, false);
      learner.parts(step(0.4, spreadWithFlash), true, true);
    }
    return learner.learned();
  }

  private static SharedContent step(double gain, double spread) {
    int agreeing = 64;
    double sigma = Math.hypot(0.012, spread / Math.sqrt(agreeing / 4.0));
    return new SharedContent(1, 0, 0, 0, gain, sigma, 0, 0, 0.012, agreeing, 80);
  }
}
