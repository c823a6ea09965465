package samelight.engine.photometry;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;

class BodyResponseTest {
  @Test
  void srgb_isPlain() {
    // sRGB code 118 decodes to .18116 (IEC 61966-2-1; computed)
    assertThat(BodyResponse.SRGB.ofCode(118)).isCloseTo((float) log2(0.18116), within(1e-3f));
  }

  @Property(tries = 50)
  void learn_patchesOfOneSlope_findsIt(@ForAll @DoubleRange(min = 0.9, max = 1.5) double slope) {
    List<BodyResponse.Sample> samples = new ArrayList<>();
    for (double level = -8; level < 0; level += 0.05) {
      samples.add(new BodyResponse.Sample(level, slope / 3, 1.0 / 3, 0));
      samples.add(new BodyResponse.Sample(level, -slope, -1, 1));
    }
    BodyResponse response = BodyResponse.learn(samples);
    assertThat(response.slope(-3)).isCloseTo(slope, within(0.02));
    assertThat(response.at(-1.5) - response.at(-3.5)).isCloseTo(2 / slope, within(0.03));
  }

  @Test
  void learn_anySamples_keepsMidGrey() {
    List<BodyResponse.Sample> samples = new ArrayList<>();
    for (int i = 0; i < 200; i++) {
      samples.add(new BodyResponse.Sample(-i / 30.0, 0.45, 1.0 / 3, i));
    }
    assertThat(BodyResponse.learn(samples).at(log2(0.18))).isCloseTo(log2(0.18), within(1e-9));
  }

  @Test
  void learn_aFifthOfCloudyPairs_isNotMisled() {
    List<BodyResponse.Sample> samples = new ArrayList<>();
    for (int i = 0; i < 500; i++) {
      double rendered = i % 5 == 0 ? 1.5 : 1.2 / 3;
      samples.add(new BodyResponse.Sample(-1 - i % 50 / 10.0, rendered, 1.0 / 3, i));
    }
    assertThat(BodyResponse.learn(samples).slope(-3)).isCloseTo(1.2, within(0.03));
  }

  @Property(tries = 30)
  void slopeSigma_morePairsThatAgree_isLess_morePatchesOfOnePair_isNot(
      @ForAll @IntRange(min = 1, max = 40) int pairs) {
    double few = BodyResponse.learn(pairs(pairs, 4)).slopeSigma();
    assertThat(BodyResponse.learn(pairs(2 * pairs, 4)).slopeSigma()).isLessThan(few);
    // what grows is how surely a pair stands at a level, which is little
    assertThat(BodyResponse.learn(pairs(pairs, 40)).slopeSigma()).isGreaterThan(0.8 * few);
    assertThat(few).isLessThanOrEqualTo(BodyResponse.learn(List.of()).slopeSigma());
  }

  @Test
  void slopeSigma_pairsThatContradictEachOther_isMore() {
    List<BodyResponse.Sample> contradicting = new ArrayList<>();
    for (BodyResponse.Sample s : pairs(30, 4)) {
      double off = s.pair() % 2 == 0 ? 0.75 : 1.25;
      contradicting.add(
          new BodyResponse.Sample(s.level(), off * s.rendered(), s.settings(), s.pair()));
    }
    assertThat(BodyResponse.learn(contradicting).slopeSigma())
        .isGreaterThan(1.5 * BodyResponse.learn(pairs(30, 4)).slopeSigma());
  }

  private static List<BodyResponse.Sample> pairs(int pairs, int patches) {
    List<BodyResponse.Sample> samples = new ArrayList<>();
    for (int p = 0; p < pairs; p++) {
      for (double level = -5; level <= -1; level += 0.5) {
        for (int i = 0; i < patches; i++) {
          samples.add(new BodyResponse.Sample(level, 1.2, 1, p));
        }
      }
    }
    return samples;
  }

  @Test
  void at_increases() {
    BodyResponse r = BodyResponse.learn(List.of());
    for (double level = -8; level < 0; level += 0.1) {
      assertThat(r.at(level + 0.1)).isGreaterThan(r.at(level));
    }
  }

  private static double log2(double v) {
    return Math.log(v) / Math.log(2);
  }
}
