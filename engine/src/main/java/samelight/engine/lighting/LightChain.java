package samelight.engine.lighting;

import java.util.Arrays;

/**
 * A Markov chain of light on a grid of levels, and what evidence says of it: forward and backward
 * probabilities [RABINER89], scaled at each step.
 *
 * <p>From one moment to the next the level stays with probability (1 - t) exp(-&lambda;&Delta;),
 * else it is drawn anew. A level that stays drifts: by a kernel whose variance grows with time, of
 * three taps while that is small, else even within a range.
 */
final class LightChain {
  /** Variance up to which three taps serve, in grid steps squared. */
  private static final double THREE_TAPS = 0.66;

  private final double[] seconds;
  private final double[] anew;
  private final double turned;
  private final double rate;
  private final double drift;
  private final int size;
  private final double[] sums;

  /**
   * A chain.
   *
   * @param seconds of the moments, rising
   * @param anew distribution of a level that is drawn anew, and of the first one; its sum is 1
   * @param turned t, probability of a change however soon, 0 to 1
   * @param rate &lambda;, further changes a second
   * @param drift variance of the drift after a second, in grid steps squared
   */
  LightChain(double[] seconds, double[] anew, double turned, double rate, double drift) {
    this.seconds = seconds;
    this.anew = anew;
    this.turned = turned;
    this.rate = rate;
    this.drift = drift;
    this.size = anew.length;
    this.sums = new double[size + 1];
  }

  /** Natural logarithm of the probability of the evidence: a likelihood for each moment, level. */
  double logLikelihood(double[][] evidence) {
    return forward(evidence, new double[evidence.length][size]);
  }

  /** Distribution of each moment's level given the evidence of all moments. */
  double[][] posterior(double[][] evidence) {
    int n = evidence.length;
    double[][] p = new double[n][size];
    forward(evidence, p);
    double[] after = new double[size];
    double[] seen = new double[size];
    Arrays.fill(after, 1);
    for (int i = n - 1; i >= 0; i--) {
      for (int g = 0; g < size; g++) {
        seen[g] = after[g] * evidence[i][g];
        p[i][g] *= after[g];
      }
      normalise(p[i]);
      if (i > 0) {
        double stay = stay(i);
        double changed = 0;
        for (int g = 0; g < size; g++) {
          changed += seen[g] * anew[g];
        }
        drifted(seen, i, after);
        for (int g = 0; g < size; g++) {
          after[g] = stay * after[g] + (1 - stay) * changed;
        }
        normalise(after);
      }
    }
    return p;
  }

  private double forward(double[][] evidence, double[][] p) {
    double log = 0;
    for (int i = 0; i < evidence.length; i++) {
      if (i == 0) {
        System.arraycopy(anew, 0, p[0], 0, size);
      } else {
        double stay = stay(i);
        drifted(p[i - 1], i, p[i]);
        for (int g = 0; g < size; g++) {
          p[i][g] = stay * p[i][g] + (1 - stay) * anew[g];
        }
      }
      for (int g = 0; g < size; g++) {
        p[i][g] *= evidence[i][g];
      }
      log += Math.log(normalise(p[i]));
    }
    return log;
  }

  private double pause(int i) {
    return seconds[i] - seconds[i - 1];
  }

  private double stay(int i) {
    return (1 - turned) * Math.exp(-rate * pause(i));
  }

  /** Divides by the sum, which is returned. */
  private static double normalise(double[] p) {
    double sum = Double.MIN_NORMAL;
    for (double v : p) {
      sum += v;
    }
    double one = 1 / sum;
    for (int g = 0; g < p.length; g++) {
      p[g] *= one;
    }
    return sum;
  }

  /** What a distribution becomes by drift between the moment before and this one. */
  private void drifted(double[] from, int i, double[] to) {
    double variance = drift * Math.max(1, pause(i));
    if (variance <= THREE_TAPS) {
      double v = variance / 2;
      for (int g = 1; g < size - 1; g++) {
        to[g] = (1 - 2 * v) * from[g] + v * (from[g - 1] + from[g + 1]);
      }
      to[0] = (1 - 2 * v) * from[0] + v * from[1];
      to[size - 1] = (1 - 2 * v) * from[size - 1] + v * from[size - 2];
      return;
    }
    int reach = (int) Math.round((Math.sqrt(1 + 12 * variance) - 1) / 2);
    for (int g = 0; g < size; g++) {
      sums[g + 1] = sums[g] + from[g];
    }
    for (int g = 0; g < size; g++) {
      to[g] =
          (sums[Math.min(size, g + reach + 1)] - sums[Math.max(0, g - reach)]) / (2 * reach + 1);
    }
  }
}
