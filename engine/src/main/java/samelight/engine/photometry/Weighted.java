package samelight.engine.photometry;

import java.util.Arrays;
import java.util.Comparator;

/** Weighted order statistics. */
public final class Weighted {
  private Weighted() {}

  /**
   * The weighted median: the least value at which half of the total weight is reached.
   *
   * @param value values, at least one
   * @param weight weights, 0 or more, not all 0
   */
  public static double median(double[] value, double[] weight) {
    Integer[] order = new Integer[value.length];
    double total = 0;
    for (int i = 0; i < order.length; i++) {
      order[i] = i;
      total += weight[i];
    }
    Arrays.sort(order, Comparator.comparingDouble((Integer i) -> value[i]));
    double sum = 0;
    for (Integer i : order) {
      sum += weight[i];
      if (sum >= total / 2) {
        return value[i];
      }
    }
    return value[order[order.length - 1]];
  }

  /** The plain median of at least one value. */
  public static double median(double[] value) {
    double[] sorted = value.clone();
    Arrays.sort(sorted);
    int n = sorted.length;
    return n % 2 == 1 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
  }

  /** 1.4826 times the median distance from {@code centre}: a robust standard deviation. */
  public static double deviation(double[] value, double centre) {
    double[] d = new double[value.length];
    for (int i = 0; i < d.length; i++) {
      d[i] = Math.abs(value[i] - centre);
    }
    return 1.4826 * median(d);
  }
}
