package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import samelight.engine.photometry.Weighted;

/**
 * The light that one body saw in a stretch of the day, as a hidden process over time in which every
 * framing gives evidence, and what follows for framings that share nothing with a place.
 *
 * <p>Light stays from one framing to the next, but for a drift, or it changes to any other: the
 * photographer turns round, a cloud passes. Framings of the place have a light that is known. The
 * others show theirs by settings and brightness, which content misleads: mostly by a little,
 * sometimes by much. And each of these may, by itself, have been made elsewhere, in another light
 * than its neighbours.
 *
 * <p>How far content misleads, how often light changes and how fast it drifts isn't known before:
 * combinations of a few values are weighed by how well they explain the stretch ({@link
 * LightChain}), and what they say is averaged. Brightness counts to the nearest level of a grid.
 */
final class LightProcess {
  /** Distance of the grid's levels, in stops. */
  private static final double STEP = 0.07;

  /** The grid goes so far beyond what was seen, in stops. */
  private static final double MARGIN = 0.8;

  /** Deviations of content, in stops. */
  private static final double[] CONTENT = {0.1, 0.17, 0.29, 0.5};

  /** Seconds between changes of light. */
  private static final double[] LASTS = {4000, 700, 120};

  /** Deviations of drift after a second, in stops; each is e times less likely than the last. */
  private static final double[] DRIFT = {0.001, 0.005, 0.02};

  /** Probability that the next framing looks to another side, however soon it comes. */
  private static final double TURNED = 0.03;

  /** Probability of odd content, and its least deviation, in stops. */
  private static final double ODD = 0.05;

  private static final double ODD_CONTENT = 0.8;

  /** Lights differ by this, mostly, in stops (common practice, no source). */
  private static final double CHANGE = 0.8;

  /** Error of a light that is known, in stops. */
  private static final double KNOWN = 0.04;

  /** Part of the variance of content that framings of one place have in common. */
  private static final double COMMON = 1 - 1 / Steadiness.UNLIKE_CONTENT;

  /** Combinations of less weight are left out. */
  private static final double NEGLIGIBLE = 0.004;

  /** What settings and brightness say of the light on the place's scale, or NaN. */
  private final double[] shown;

  private final double low;
  private final int size;

  /** Distribution of each framing's light where it wasn't made elsewhere; its sum is below 1. */
  private final double[][] here;

  private final List<Elsewhere> elsewhere = new ArrayList<>();

  /** Values that may explain a stretch. */
  private static final class Combination {
    private final Brightness brightness;
    private final double[][] evidence;
    private final LightChain chain;

    Combination(Brightness brightness, double[][] evidence, LightChain chain) {
      this.brightness = brightness;
      this.evidence = evidence;
      this.chain = chain;
    }
  }

  /**
   * What brightness says for one deviation of content, by distance in levels: how likely a light
   * is, and the part of it that a light elsewhere has.
   */
  private static final class Brightness {
    private final double content;
    private final double[] likelihood;
    private final double[] apart;

    Brightness(double content, double[] likelihood, double[] apart) {
      this.content = content;
      this.likelihood = likelihood;
      this.apart = apart;
    }
  }

  /** How probably each framing is elsewhere, and the mean light of the process then. */
  private static final class Elsewhere {
    private final double content;
    private final double[] probability;
    private final double[] process;

    Elsewhere(double content, double[] probability, double[] process) {
      this.content = content;
      this.probability = probability;
      this.process = process;
    }
  }

  /**
   * A process.
   *
   * @param seconds of the framings, rising
   * @param implied light by settings and brightness, or NaN
   * @param light where it is known, else NaN; where it is, the implied one must be known at least
   *     once
   * @param chance that a framing was made elsewhere, 0 to 1
   */
  LightProcess(double[] seconds, double[] implied, double[] light, double chance) {
    double[] contents =
        IntStream.range(0, light.length)
            .mapToDouble(i -> implied[i] - light[i])
            .filter(c -> !Double.isNaN(c))
            .toArray();
    double content = Weighted.median(contents);
    shown = Arrays.stream(implied).map(v -> v - content).toArray();
    double[] all =
        DoubleStream.concat(Arrays.stream(shown), Arrays.stream(light))
            .filter(v -> !Double.isNaN(v))
            .sorted()
            .toArray();
    low = all[0] - MARGIN;
    size = level(all[all.length - 1] + MARGIN) + 1;
    here = new double[seconds.length][size];
    double beside = 1 + COMMON + (1 - COMMON) / contents.length;
    weigh(seconds, light, Math.sqrt(beside), chance);
  }

  private int level(double light) {
    return (int) Math.round((light - low) / STEP);
  }

  /** The nearest level to a light, which counts instead of it where the light is known. */
  double rounded(double light) {
    return low + level(light) * STEP;
  }

  /**
   * @param beside deviation of content against the place's, in those of a framing
   */
  private void weigh(double[] seconds, double[] light, double beside, double chance) {
    double[] anew = anywhere();
    List<Combination> combinations = new ArrayList<>();
    List<Double> logs = new ArrayList<>();
    for (double deviation : CONTENT) {
      Brightness b = brightness(deviation * beside, chance);
      double[][] evidence = evidence(light, b);
      for (double lasts : LASTS) {
        for (int d = 0; d < DRIFT.length; d++) {
          double drift = LightModel.square(DRIFT[d] / STEP);
          LightChain chain = new LightChain(seconds, anew, TURNED, 1 / lasts, drift);
          combinations.add(new Combination(b, evidence, chain));
          logs.add(chain.logLikelihood(evidence) - d);
        }
      }
    }
    double best = logs.stream().mapToDouble(v -> v).max().orElse(0);
    double[] weights = logs.stream().mapToDouble(v -> Math.exp(v - best)).toArray();
    double least = NEGLIGIBLE * Arrays.stream(weights).sum();
    double sum = Arrays.stream(weights).filter(w -> w > least).sum();
    for (int c = 0; c < weights.length; c++) {
      if (weights[c] > least) {
        add(combinations.get(c), weights[c] / sum, light);
      }
    }
  }

  /** Light after a change: around what was seen. */
  private double[] anywhere() {
    double[] seen = Arrays.stream(shown).filter(v -> !Double.isNaN(v)).toArray();
    double middle = Weighted.median(seen);
    double[] p = normal(middle, Math.max(CHANGE, Weighted.deviation(seen, middle)));
    double sum = Arrays.stream(p).sum();
    return Arrays.stream(p).map(v -> (v / sum + NEGLIGIBLE / size) / (1 + NEGLIGIBLE)).toArray();
  }

  private Brightness brightness(double content, double chance) {
    double odd = Math.max(3 * content, ODD_CONTENT);
    double far = Math.hypot(content, CHANGE);
    double[] likelihood = new double[2 * size];
    double[] apart = new double[2 * size];
    for (int d = 0; d < 2 * size; d++) {
      double same = (1 - ODD) * density(d * STEP, content) + ODD * density(d * STEP, odd);
      double other = chance * density(d * STEP, far);
      likelihood[d] = (1 - chance) * same + other;
      apart[d] = other / likelihood[d];
    }
    return new Brightness(content, likelihood, apart);
  }

  private double[][] evidence(double[] light, Brightness b) {
    double[][] out = new double[light.length][];
    for (int i = 0; i < light.length; i++) {
      if (!Double.isNaN(light[i])) {
        out[i] = normal(rounded(light[i]), KNOWN);
      } else if (!Double.isNaN(shown[i])) {
        out[i] = around(level(shown[i]), b.likelihood);
      } else {
        out[i] = new double[size];
        Arrays.fill(out[i], 1);
      }
    }
    return out;
  }

  private double[] around(int level, double[] byDistance) {
    double[] out = new double[size];
    for (int g = 0; g < size; g++) {
      out[g] = byDistance[Math.abs(g - level)];
    }
    return out;
  }

  private void add(Combination c, double weight, double[] light) {
    double[][] p = c.chain.posterior(c.evidence);
    double[] probability = new double[p.length];
    double[] process = new double[p.length];
    for (int i = 0; i < p.length; i++) {
      if (!Double.isNaN(light[i]) || Double.isNaN(shown[i])) {
        continue;
      }
      int at = level(shown[i]);
      double mean = 0;
      for (int g = 0; g < size; g++) {
        double q = p[i][g] * c.brightness.apart[Math.abs(g - at)];
        here[i][g] += weight * (p[i][g] - q);
        probability[i] += q;
        mean += q * (low + g * STEP);
      }
      process[i] = mean / Math.max(Double.MIN_NORMAL, probability[i]);
      probability[i] *= weight;
    }
    elsewhere.add(new Elsewhere(c.brightness.content, probability, process));
  }

  /**
   * Light that isn't known but shown: its mean, and half the distance from it within which 95 in
   * 100 lie.
   *
   * @param i number of the framing, from 0
   */
  Steadiness.Guess at(int i) {
    double[] p = here[i].clone();
    for (Elsewhere e : elsewhere) {
      double share = CHANGE * CHANGE / (CHANGE * CHANGE + e.content * e.content);
      double centre = share * shown[i] + (1 - share) * e.process[i];
      double[] light = normal(centre, Math.sqrt(share) * e.content);
      for (int g = 0; g < size; g++) {
        p[g] += e.probability[i] * STEP * light[g];
      }
    }
    double sum = Arrays.stream(p).sum();
    double mean = 0;
    for (int g = 0; g < size; g++) {
      p[g] /= sum;
      mean += p[g] * (low + g * STEP);
    }
    return new Steadiness.Guess(mean, nineteenInTwenty(p, mean) / 2);
  }

  private double nineteenInTwenty(double[] p, double mean) {
    double least = 0;
    double most = size * STEP;
    for (int round = 0; round < 30; round++) {
      double t = (least + most) / 2;
      if (within(p, mean - t, mean + t) < 0.95) {
        least = t;
      } else {
        most = t;
      }
    }
    return most;
  }

  /** Probability of a range, where a level's is spread evenly around it. */
  private double within(double[] p, double from, double to) {
    double sum = 0;
    for (int g = 0; g < size; g++) {
      double middle = low + g * STEP;
      double part = Math.min(to, middle + STEP / 2) - Math.max(from, middle - STEP / 2);
      sum += p[g] * Math.max(0, part) / STEP;
    }
    return sum;
  }

  private double[] normal(double centre, double deviation) {
    double[] p = new double[size];
    for (int g = 0; g < size; g++) {
      p[g] = density(low + g * STEP - centre, deviation);
    }
    return p;
  }

  private static double density(double x, double deviation) {
    double z = x / deviation;
    return Math.exp(-0.5 * z * z) / (deviation * Math.sqrt(2 * Math.PI));
  }
}
