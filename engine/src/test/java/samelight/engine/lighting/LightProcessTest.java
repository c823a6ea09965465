package samelight.engine.lighting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;

class LightProcessTest {
  private static final double TOLERANCE = 1.0 / 6;
  private static final double CHANCE = 0.03;

  private static double[] everyTwentySeconds(int n) {
    double[] t = new double[n];
    Arrays.setAll(t, i -> 20 * i);
    return t;
  }

  /** One of a row is known; all show the same: that no change fits is the evidence. */
  @Test
  void at_rowThatShowsOneLight_isSureOfIt() {
    double[] implied = {9.1, 9.0, 9.05, 8.95, 9.1, 9.0, 9.08, 8.97, 9.02, 9.1};
    double[] light = new double[10];
    Arrays.fill(light, Double.NaN);
    light[4] = 3;
    LightProcess p = new LightProcess(everyTwentySeconds(10), implied, light, CHANCE);
    for (int i : new int[] {0, 1, 3, 5, 9}) {
      assertThat(p.at(i).mean()).isCloseTo(3, within(0.1));
      assertThat(2 * p.at(i).sigma()).isLessThan(TOLERANCE);
    }
  }

  /** The same row under clouds of a stop: nobody knows what a framing between two of them had. */
  @Test
  void at_rowThatShowsClouds_isntSureOfThoseThatLookTheSame() {
    double[] implied = {9.1, 8.0, 9.05, 7.95, 9.1, 9.0, 8.08, 8.97, 7.9, 9.1, 8.4};
    double[] light = new double[11];
    Arrays.fill(light, Double.NaN);
    light[4] = 3;
    LightProcess p = new LightProcess(everyTwentySeconds(11), implied, light, CHANCE);
    for (int i = 0; i < 11; i++) {
      if (i != 4) {
        assertThat(2 * p.at(i).sigma()).isGreaterThan(TOLERANCE);
      }
    }
  }

  /** Several that agree show a change, though each of them might be misled by content. */
  @Test
  void at_rowThatShowsAChange_followsIt() {
    double[] implied = {9.1, 9.0, 9.05, 9.02, 7.8, 7.75, 7.85, 7.8, 7.78};
    double[] light = new double[9];
    Arrays.fill(light, Double.NaN);
    light[1] = 3;
    LightProcess p = new LightProcess(everyTwentySeconds(9), implied, light, CHANCE);
    assertThat(p.at(2).mean()).isCloseTo(3, within(0.1));
    assertThat(p.at(6).mean()).isCloseTo(1.8, within(0.2));
  }

  /** Between two whose light is known to be the same; content is only asked for what is odd. */
  @Property
  void at_betweenKnownOnesThatAgree_isTheirs_unlessItShowsSomethingElse(
      @ForAll @DoubleRange(min = -0.4, max = 0.4) double content) {
    double[] light = {5, 5.01, Double.NaN, 5, 4.99};
    double[] seconds = everyTwentySeconds(5);
    LightProcess usual =
        new LightProcess(seconds, new double[] {9, 9, 9 + content, 9, 9}, light, CHANCE);
    assertThat(usual.at(2).mean()).isCloseTo(5, within(0.08));
    assertThat(2 * usual.at(2).sigma()).isLessThan(TOLERANCE);
    LightProcess odd =
        new LightProcess(seconds, new double[] {9, 9, 7.2 + content, 9, 9}, light, CHANCE);
    assertThat(2 * odd.at(2).sigma()).isGreaterThan(2 * TOLERANCE);
  }

  /** A change in a gap can have been on either side of what stands amid it. */
  @Test
  void at_gapWithAChange_isntSure_besideItIs() {
    double nan = Double.NaN;
    double[] light = {5, 5, nan, 5, 5, nan, 4, 4, nan, 4, 4};
    double[] implied = {9, 9, 9, 9, 9, 8.5, 8, 8, 8, 8, 8};
    LightProcess p = new LightProcess(everyTwentySeconds(11), implied, light, CHANCE);
    assertThat(2 * p.at(2).sigma()).isLessThan(TOLERANCE);
    assertThat(2 * p.at(5).sigma()).isGreaterThan(2 * TOLERANCE);
    assertThat(2 * p.at(8).sigma()).isLessThan(TOLERANCE);
    assertThat(p.at(5).mean()).isBetween(4.0, 5.0);
  }

  /** A sunset: on the line between what stood before and after. */
  @Property(tries = 50)
  void at_steadySlide_liesOnTheLine(
      @ForAll @DoubleRange(min = -0.07, max = 0.07) double slope,
      @ForAll @IntRange(min = 3, max = 11) int alone) {
    double[] light = new double[15];
    Arrays.setAll(light, i -> i == alone ? Double.NaN : 5 + slope * i);
    double[] implied = new double[15];
    Arrays.setAll(implied, i -> 9 + slope * i);
    LightProcess p = new LightProcess(everyTwentySeconds(15), implied, light, CHANCE);
    assertThat(p.at(alone).mean() - p.rounded(5 + slope * alone)).isCloseTo(0, within(0.06));
    assertThat(2 * p.at(alone).sigma()).isLessThan(TOLERANCE);
  }

  /**
   * Days played by the rule that the process assumes, with values of its own: what is said to hold
   * in 95 of 100 cases holds in 92 at least, and what is called sure in 95.
   */
  @Property(tries = 6)
  void at_daysPlayed_holdsAsOftenAsItSays(@ForAll @IntRange(min = 0, max = 100_000) int seed) {
    Random random = new Random(seed);
    int all = 0;
    int held = 0;
    int sure = 0;
    int right = 0;
    for (int day = 0; day < 120; day++) {
      double content = 0.12 + 0.3 * random.nextDouble();
      double lasts = 150 * Math.pow(20, random.nextDouble());
      double often = random.nextDouble();
      int n = 20;
      double[] seconds = new double[n];
      double[] truth = new double[n];
      double[] light = new double[n];
      double[] implied = new double[n];
      double level = 0;
      for (int i = 0; i < n; i++) {
        seconds[i] = i == 0 ? 0 : seconds[i - 1] - 25 * Math.log(1 - random.nextDouble());
        double pause = i == 0 ? 0 : seconds[i] - seconds[i - 1];
        if (random.nextDouble() > 0.97 * Math.exp(-pause / lasts)) {
          level = 0.8 * random.nextGaussian();
        }
        boolean known = i == 0 || random.nextDouble() < often;
        truth[i] = !known && random.nextDouble() < 0.03 ? 0.8 * random.nextGaussian() : level;
        light[i] = known ? truth[i] : Double.NaN;
        double spread = known ? content / Math.sqrt(3) : content;
        implied[i] = 7 + truth[i] + spread * random.nextGaussian();
      }
      LightProcess p = new LightProcess(seconds, implied, light, 0.03);
      for (int i = 0; i < n; i++) {
        if (Double.isNaN(light[i])) {
          Steadiness.Guess g = p.at(i);
          double off = Math.abs(g.mean() - truth[i]);
          all++;
          held += off <= 2 * g.sigma() ? 1 : 0;
          if (2 * g.sigma() <= TOLERANCE) {
            sure++;
            right += off <= TOLERANCE ? 1 : 0;
          }
        }
      }
    }
    assertThat((double) held / all).isGreaterThan(0.88);
    assertThat(sure).isGreaterThan(all / 20);
    assertThat((double) right / sure).isGreaterThan(0.92);
  }
}
