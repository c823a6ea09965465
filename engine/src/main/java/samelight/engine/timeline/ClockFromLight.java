package samelight.engine.timeline;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Finds by how much the clocks of two bodies differ from what both saw: the light they were in, the
 * flash, the colour, and when they were used at all.
 *
 * <p>Each offset on a grid of five seconds gets a score: for every moment of the second body the
 * log of how much likelier the nearest moment of the first (within 45 s) is if both were at one
 * place than by chance. Moments at one place agree in light to 0.6 EV mostly, since content differs
 * (a half-and-half mixture with a broad part, as two bodies may be in two rooms); by chance they
 * differ as the shoot's light does. A body rests when the other does. Moments follow each other
 * closely, so that half of the score counts. With a prior that favours small errors and whole
 * hours, the scores give a posterior over all offsets, and from it the offset and its standard
 * deviation. It is believed only if nearly all of it lies around one peak.
 */
public final class ClockFromLight {
  /** Offsets are looked for up to this, in seconds: any time zone. */
  private static final int FARTHEST = 14 * 3600;

  private static final int STEP = 5;
  private static final int REACH = 45;

  /** Moments closer than this to each other are one, in seconds. */
  private static final double THIN = 15;

  private static final int MOST_MOMENTS = 800;
  private static final int LEAST_MOMENTS = 20;
  private static final double COUNTS = 0.5;
  private static final double ALIKE_LIGHT = 0.6;
  private static final double ALIKE_MIRED = 25;
  private static final double BOTH_AT_WORK = 0.75;

  /** Posterior mass that must lie within three minutes of the peak. */
  private static final double BELIEVED = 0.97;

  private static final double AROUND = 180;

  /**
   * Bodies of one day agree by more than this at the right offset, as a mean log ratio a moment;
   * bodies of two days reach a third of it at the best of all offsets.
   */
  private static final double LEAST_EVIDENCE = 0.3;

  private static final double LEAST_SUM = 2;

  /** A peak that is broader leaves the clock unknown, in seconds. */
  private static final double BROADEST = 60;

  private ClockFromLight() {}

  /**
   * What a body saw at one moment.
   *
   * @param seconds time by its own clock
   * @param light scene light in EV by settings and brightness, or NaN
   * @param mired as-shot white, or NaN
   * @param flash whether the flash fired
   */
  public record Moment(double seconds, double light, double mired, boolean flash) {}

  /**
   * An offset.
   *
   * @param seconds to add to the second body's clock
   * @param sigma one standard deviation, in seconds
   */
  public record Offset(double seconds, double sigma) {}

  /**
   * Aligns a second body to a first.
   *
   * @param first moments of the body that gives the shoot its time, in any order
   * @param second moments of the other body, in any order
   * @return the offset, or null where the evidence doesn't single one out
   */
  public static @Nullable Offset align(List<Moment> first, List<Moment> second) {
    List<Moment> a = thin(first);
    List<Moment> b = thin(second);
    if (a.size() < LEAST_MOMENTS || b.size() < LEAST_MOMENTS) {
      return null;
    }
    double start = a.get(0).seconds();
    int length = (int) ((a.get(a.size() - 1).seconds() - start) / STEP) + 1;
    int[] nearest = nearest(a, start, length);
    int covered = 0;
    for (int i : nearest) {
      covered += i >= 0 ? 1 : 0;
    }
    double chance = Math.max(0.2, Math.min(0.7, (double) covered / length));
    double[] spread = spread(a, b);
    int n = 2 * FARTHEST / STEP + 1;
    double[] score = new double[n];
    double most = Double.NEGATIVE_INFINITY;
    double[][] ratio = new double[b.size()][];
    for (int i = 0; i < b.size(); i++) {
      ratio[i] = ratios(b.get(i), a, spread);
    }
    double together = Math.log(BOTH_AT_WORK / chance);
    double alone = Math.log((1 - BOTH_AT_WORK) / (1 - chance));
    for (int k = 0; k < n; k++) {
      double offset = -FARTHEST + (double) k * STEP;
      double sum = 0;
      for (int i = 0; i < b.size(); i++) {
        int at = (int) Math.round((b.get(i).seconds() + offset - start) / STEP);
        int j = at < 0 || at >= length ? -1 : nearest[at];
        sum += j < 0 ? alone : together + ratio[i][j];
      }
      score[k] = COUNTS * sum + prior(offset);
      most = Math.max(most, score[k]);
    }
    return settle(score, most, b.size());
  }

  private static @Nullable Offset settle(double[] score, double most, int moments) {
    double total = 0;
    int peak = 0;
    for (int k = 0; k < score.length; k++) {
      total += Math.exp(score[k] - most);
      peak = score[k] > score[peak] ? k : peak;
    }
    double evidence = (most - prior(-FARTHEST + (double) peak * STEP)) / COUNTS / moments;
    if (evidence < LEAST_EVIDENCE + LEAST_SUM / moments) {
      return null;
    }
    int reach = (int) (AROUND / STEP);
    double mass = 0;
    double mean = 0;
    double square = 0;
    for (int k = Math.max(0, peak - reach); k <= Math.min(score.length - 1, peak + reach); k++) {
      double p = Math.exp(score[k] - most) / total;
      double offset = -FARTHEST + (double) k * STEP;
      mass += p;
      mean += p * offset;
      square += p * offset * offset;
    }
    mean /= mass;
    double sigma = Math.sqrt(Math.max(STEP * STEP / 12.0, square / mass - mean * mean));
    return mass >= BELIEVED && sigma <= BROADEST ? new Offset(mean, sigma) : null;
  }

  /** Small errors of setting a clock, a zone or summer time forgotten, or anything. */
  private static double prior(double offset) {
    double hours = Math.rint(offset / 3600);
    double rest = offset - hours * 3600;
    double near = Math.exp(-Math.abs(rest) / 120) / 240;
    double share = hours == 0 ? 0.6 : 0.3 / 28;
    return Math.log(share * near + 0.1 / (2.0 * FARTHEST));
  }

  private static List<Moment> thin(List<Moment> moments) {
    List<Moment> sorted = new ArrayList<>();
    for (Moment m : moments) {
      if (!Double.isNaN(m.seconds())) {
        sorted.add(m);
      }
    }
    sorted.sort(
        Comparator.comparingDouble(Moment::seconds)
            .thenComparingDouble(Moment::light)
            .thenComparingDouble(Moment::mired));
    List<Moment> out = new ArrayList<>();
    for (Moment m : sorted) {
      if (out.isEmpty() || m.seconds() - out.get(out.size() - 1).seconds() >= THIN) {
        out.add(m);
      }
    }
    int every = (out.size() + MOST_MOMENTS - 1) / MOST_MOMENTS;
    List<Moment> few = new ArrayList<>();
    for (int i = 0; i < out.size(); i += Math.max(1, every)) {
      few.add(out.get(i));
    }
    return few;
  }

  /** Index of the nearest moment within reach at each step, or -1. */
  private static int[] nearest(List<Moment> a, double start, int length) {
    int[] out = new int[length];
    int j = 0;
    for (int i = 0; i < length; i++) {
      double t = start + (double) i * STEP;
      while (j + 1 < a.size()
          && Math.abs(a.get(j + 1).seconds() - t) <= Math.abs(a.get(j).seconds() - t)) {
        j++;
      }
      out[i] = Math.abs(a.get(j).seconds() - t) <= REACH ? j : -1;
    }
    return out;
  }

  /** Variance of light and of mired between moments taken by chance. */
  private static double[] spread(List<Moment> a, List<Moment> b) {
    double[] light = variance(a, b, true);
    double[] mired = variance(a, b, false);
    double flashes = 0;
    for (Moment m : a) {
      flashes += m.flash() ? 1 : 0;
    }
    double p = (flashes + 1) / (a.size() + 2);
    return new double[] {light[0], mired[0], p};
  }

  private static double[] variance(List<Moment> a, List<Moment> b, boolean light) {
    double sum = 0;
    double squares = 0;
    int n = 0;
    for (List<Moment> list : List.of(a, b)) {
      for (Moment m : list) {
        double v = light ? m.light() : m.mired();
        if (!Double.isNaN(v)) {
          sum += v;
          squares += v * v;
          n++;
        }
      }
    }
    double floor = light ? ALIKE_LIGHT * ALIKE_LIGHT : ALIKE_MIRED * ALIKE_MIRED;
    double v = n == 0 ? 0 : squares / n - sum / n * (sum / n);
    return new double[] {Math.max(floor, 2 * v)};
  }

  private static double[] ratios(Moment m, List<Moment> a, double[] spread) {
    double[] out = new double[a.size()];
    for (int j = 0; j < out.length; j++) {
      Moment o = a.get(j);
      double r = 0;
      if (!m.flash() && !o.flash()) {
        r += ratio(m.light() - o.light(), ALIKE_LIGHT, spread[0]);
      }
      r += ratio(m.mired() - o.mired(), ALIKE_MIRED, spread[1]);
      double p = spread[2];
      double chance = o.flash() ? p : 1 - p;
      double agree = 0.7 + 0.3 * chance;
      r += Math.log(m.flash() == o.flash() ? agree / chance : (1 - agree) / (1 - chance));
      out[j] = r;
    }
    return out;
  }

  private static double ratio(double d, double alike, double chance) {
    if (Double.isNaN(d)) {
      return 0;
    }
    double by = normal(d, chance);
    return Math.log((0.5 * normal(d, alike * alike) + 0.5 * by) / by);
  }

  private static double normal(double d, double variance) {
    return Math.exp(-0.5 * d * d / variance) / Math.sqrt(variance) + 1e-12;
  }
}
