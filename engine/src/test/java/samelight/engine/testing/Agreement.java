package samelight.engine.testing;

import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * How well two partitions of the same items agree: one label per item and partition, in the same
 * order. Labels are compared by equality and mean nothing across the two.
 *
 * @param adjustedRand adjusted Rand index ([HUBERT85]): 1 for equal partitions, 0 expected by
 *     chance
 * @param homogeneity 1 where each found group holds items of one true group only ([ROSENBERG07])
 * @param completeness 1 where each true group's items are in one found group ([ROSENBERG07])
 * @param vMeasure harmonic mean of homogeneity and completeness ([ROSENBERG07])
 * @param mutualInformation in nats
 * @param pairPrecision share of pairs found together that are truly together; 1 without such pairs
 * @param pairRecall share of pairs truly together that are found together; 1 without such pairs
 */
public record Agreement(
    double adjustedRand,
    double homogeneity,
    double completeness,
    double vMeasure,
    double mutualInformation,
    double pairPrecision,
    double pairRecall) {

  /**
   * Compares a found partition with the true one, in time linear in the items.
   *
   * @throws IllegalArgumentException if the lists differ in length or are empty
   */
  public static <T, F> Agreement of(List<T> truth, List<F> found) {
    if (truth.size() != found.size() || truth.isEmpty()) {
      throw new IllegalArgumentException(
          "partitions must have one label for each of the same items, had "
              + truth.size()
              + " and "
              + found.size());
    }
    Map<T, Integer> rows = new HashMap<>();
    Map<F, Integer> columns = new HashMap<>();
    Map<Map.Entry<T, F>, Integer> cells = new HashMap<>();
    for (int i = 0; i < truth.size(); i++) {
      rows.merge(truth.get(i), 1, Integer::sum);
      columns.merge(found.get(i), 1, Integer::sum);
      cells.merge(Map.entry(truth.get(i), found.get(i)), 1, Integer::sum);
    }
    double n = truth.size();
    double together = pairs(cells.values());
    double inTruth = pairs(rows.values());
    double inFound = pairs(columns.values());
    double all = n * (n - 1) / 2;
    double expected = all == 0 ? 0 : inTruth * inFound / all;
    double most = (inTruth + inFound) / 2;
    double rand = most == expected ? 1 : (together - expected) / (most - expected);

    double information = 0;
    for (Map.Entry<Map.Entry<T, F>, Integer> cell : cells.entrySet()) {
      double p = cell.getValue() / n;
      double row = rows.getOrDefault(cell.getKey().getKey(), 0) / n;
      double column = columns.getOrDefault(cell.getKey().getValue(), 0) / n;
      information += p * Math.log(p / (row * column));
    }
    double truthEntropy = entropy(rows.values(), n);
    double foundEntropy = entropy(columns.values(), n);
    double h = truthEntropy == 0 ? 1 : information / truthEntropy;
    double c = foundEntropy == 0 ? 1 : information / foundEntropy;
    double v = h + c == 0 ? 0 : 2 * h * c / (h + c);
    return new Agreement(
        rand,
        h,
        c,
        v,
        information,
        inFound == 0 ? 1 : together / inFound,
        inTruth == 0 ? 1 : together / inTruth);
  }

  /** Harmonic mean of pair precision and recall. */
  public double pairF1() {
    double sum = pairPrecision + pairRecall;
    return sum == 0 ? 0 : 2 * pairPrecision * pairRecall / sum;
  }

  private static double pairs(Iterable<Integer> counts) {
    double sum = 0;
    for (int count : counts) {
      sum += count * (count - 1.0) / 2;
    }
    return sum;
  }

  private static double entropy(Iterable<Integer> counts, double n) {
    double sum = 0;
    for (int count : counts) {
      double p = count / n;
      sum -= p * Math.log(p);
    }
    return sum;
  }
}
