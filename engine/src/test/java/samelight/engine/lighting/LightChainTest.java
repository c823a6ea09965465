package samelight.engine.lighting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;

class LightChainTest {
  private static final int MOMENTS = 5;
  private static final int LEVELS = 4;

  /** All 4^5 paths, each weighed by itself, as [RABINER89] defines what the algorithm sums up. */
  @Property(tries = 200)
  void posterior_isTheSumOverAllPaths(
      @ForAll @DoubleRange(min = 0, max = 0.9) double turned,
      @ForAll @DoubleRange(min = 0, max = 0.1) double rate,
      @ForAll @DoubleRange(min = 0, max = 0.3) double drift,
      @ForAll @IntRange(min = 0, max = 1000) int seed) {
    Random random = new Random(seed);
    // pauses of 1 to 2 s: the drift stays within three taps
    double[] seconds = new double[MOMENTS];
    for (int i = 1; i < MOMENTS; i++) {
      seconds[i] = seconds[i - 1] + 1 + random.nextDouble();
    }
    double[] anew = {0.1, 0.2, 0.3, 0.4};
    double[][] evidence = new double[MOMENTS][LEVELS];
    for (double[] e : evidence) {
      for (int g = 0; g < LEVELS; g++) {
        e[g] = 0.05 + random.nextDouble();
      }
    }
    double[][] sums = new double[MOMENTS][LEVELS];
    double all = 0;
    for (int path = 0; path < 1024; path++) {
      double p = 1;
      for (int i = 0; i < MOMENTS; i++) {
        int to = level(path, i);
        double step =
            i == 0
                ? anew[to]
                : step(
                    level(path, i - 1), to, seconds[i] - seconds[i - 1], turned, rate, drift, anew);
        p *= step * evidence[i][to];
      }
      all += p;
      for (int i = 0; i < MOMENTS; i++) {
        sums[i][level(path, i)] += p;
      }
    }

    LightChain chain = new LightChain(seconds, anew, turned, rate, drift);
    double[][] posterior = chain.posterior(evidence);
    for (int i = 0; i < MOMENTS; i++) {
      for (int g = 0; g < LEVELS; g++) {
        assertThat(posterior[i][g]).isCloseTo(sums[i][g] / all, within(1e-9));
      }
    }
    assertThat(chain.logLikelihood(evidence)).isCloseTo(Math.log(all), within(1e-9));
  }

  private static int level(int path, int moment) {
    return path >> (2 * moment) & 3;
  }

  private static double step(
      int from, int to, double pause, double turned, double rate, double drift, double[] anew) {
    double stay = (1 - turned) * Math.exp(-rate * pause);
    double variance = drift * pause;
    double drifted = from == to ? 1 - variance : Math.abs(from - to) == 1 ? variance / 2 : 0;
    return stay * drifted + (1 - stay) * anew[to];
  }

  /** A drift over a long pause has the variance that it was asked for. */
  @Property(tries = 50)
  void posterior_afterALongPause_hasDriftedAsFarAsItsVariance(
      @ForAll @DoubleRange(min = 1, max = 60) double variance) {
    int levels = 101;
    double[] anew = new double[levels];
    anew[50] = 1;
    double[][] evidence = new double[2][levels];
    for (double[] e : evidence) {
      java.util.Arrays.fill(e, 1);
    }
    double[] p =
        new LightChain(new double[] {0, 100}, anew, 0, 0, variance / 100).posterior(evidence)[1];
    double spread = 0;
    for (int g = 0; g < levels; g++) {
      spread += p[g] * (g - 50) * (g - 50);
    }
    // ranges of whole steps
    assertThat(Math.sqrt(spread)).isCloseTo(Math.sqrt(variance), within(0.35));
  }
}
