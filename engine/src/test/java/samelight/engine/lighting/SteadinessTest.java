package samelight.engine.lighting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;

class SteadinessTest {
  /**
   * Mean and variance of d given x = d + c, by summing over c on a fine grid instead of the closed
   * form; the spike at d = 0 is added apart.
   */
  private static double[] byNumbers(double x, double p, double slab, double content) {
    double spike = p * normal(x, content);
    double mass = spike;
    double mean = 0;
    double square = 0;
    double step = 0.002;
    for (double d = -12; d <= 12; d += step) {
      double w = (1 - p) * normal(d, slab) * normal(x - d, content) * step;
      mass += w;
      mean += w * d;
      square += w * d * d;
    }
    mean /= mass;
    return new double[] {mean, square / mass - mean * mean};
  }

  private static double normal(double v, double variance) {
    return Math.exp(-0.5 * v * v / variance) / Math.sqrt(2 * Math.PI * variance);
  }

  @Property(tries = 60)
  void posterior_isWhatTheSumOverAllDifferencesGives(
      @ForAll @DoubleRange(min = -4, max = 4) double implied,
      @ForAll @DoubleRange(min = 0.05, max = 0.95) double p,
      @ForAll @DoubleRange(min = 0.1, max = 1.5) double slab,
      @ForAll @DoubleRange(min = 0.05, max = 1) double content) {
    double[] sum = byNumbers(implied, p, slab, content);
    Steadiness.Guess g = Steadiness.posterior(implied, p, slab, content);
    assertThat(g.mean()).isCloseTo(sum[0], within(1e-4));
    // the stated sigma has the least change of light added
    assertThat(g.sigma() * g.sigma() - 0.04 * 0.04).isCloseTo(sum[1], within(1e-4));
  }

  @Property(tries = 60)
  void atNineteenInTwenty_twoSigma_holdsInNineteenCasesOfTwenty(
      @ForAll @DoubleRange(min = -2, max = 2) double implied,
      @ForAll @DoubleRange(min = 0.05, max = 0.95) double p,
      @ForAll @DoubleRange(min = 0.1, max = 1.5) double slab,
      @ForAll @DoubleRange(min = 0.05, max = 1) double content) {
    Steadiness.Guess g = Steadiness.atNineteenInTwenty(implied, p, slab, content);
    double spike = p * normal(implied, content);
    double mass = spike;
    double within = 0;
    for (double d = -0.4; d <= 0.4; d += 0.001) {
      // "the same" is less than the least change of light
      double part = spike * normal(d, 0.04 * 0.04) * 0.001;
      within += Math.abs(d - g.mean()) <= 2 * g.sigma() ? part : 0;
    }
    for (double d = -12; d <= 12; d += 0.002) {
      double w = (1 - p) * normal(d, slab) * normal(implied - d, content) * 0.002;
      mass += w;
      within += Math.abs(d - g.mean()) <= 2 * g.sigma() ? w : 0;
    }
    assertThat(within / mass).isGreaterThan(0.94);
    assertThat(g.mean()).isEqualTo(Steadiness.posterior(implied, p, slab, content).mean());
  }

  @Property
  void posterior_swappedFrames_negatesTheMean(
      @ForAll @DoubleRange(min = -4, max = 4) double implied,
      @ForAll @DoubleRange(min = 0, max = 1) double p) {
    Steadiness.Guess there = Steadiness.posterior(implied, p, 0.6, 0.3);
    Steadiness.Guess back = Steadiness.posterior(-implied, p, 0.6, 0.3);
    assertThat(there.mean()).isEqualTo(-back.mean());
    assertThat(there.sigma()).isEqualTo(back.sigma());
    assertThat(Math.abs(there.mean())).isLessThanOrEqualTo(Math.abs(implied));
  }

  @Test
  void posterior_aDressInSteadyLight_movesLittle_aSunnyYard_movesMuch() {
    assertThat(Steadiness.posterior(0.5, 0.7, 0.64, 0.3).mean()).isLessThan(0.15);
    assertThat(Steadiness.posterior(3, 0.7, 0.64, 0.3).mean()).isGreaterThan(1.8);
  }
}
