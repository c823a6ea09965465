package samelight.engine.photometry;

import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * How far a learned slope may be off. Patches of one pair of frames err together, by what light and
 * settings really differed between them, so that pairs are counted, not patches.
 *
 * <p>At a level pairs have the weights W<sub>p</sub>, sums over their patches; n = (&Sigma;W)&sup2;
 * / &Sigma;W&sup2; pairs of equal weight would say as much. Pairs scatter by &tau; around the
 * slope, relative to it: a robust deviation, joined with a prior worth a few pairs. With real
 * cameras' slopes scattering by e around the slope that is assumed without evidence, the error is
 * (1/e&sup2; + n/&tau;&sup2;)<sup>-1/2</sup>, the posterior deviation of a mean with normal errors.
 */
final class SlopeError {
  /** Real cameras' slopes scatter by this around the prior, relative. */
  private static final double PRIOR_ERROR = 0.12;

  private static final double PAIR_ERROR = 0.1;
  private static final double PRIOR_PAIRS = 5;

  private double squares;
  private int levels;
  private final double scatter;

  /**
   * A sum of errors over levels.
   *
   * @param deviations of each sample's slope from the learned one, relative
   */
  SlopeError(List<BodyResponse.Sample> samples, double[] deviations) {
    Map<Integer, double[]> pairs = new HashMap<>();
    for (int i = 0; i < deviations.length; i++) {
      double w = Math.abs(samples.get(i).settings());
      double[] sum = pairs.computeIfAbsent(samples.get(i).pair(), p -> new double[2]);
      sum[0] += w;
      sum[1] += w * deviations[i];
    }
    double[] means = pairs.values().stream().mapToDouble(s -> s[1] / s[0]).toArray();
    double shown = means.length == 0 ? 0 : Weighted.deviation(means, 0);
    scatter =
        (PRIOR_PAIRS * PAIR_ERROR * PAIR_ERROR + means.length * shown * shown)
            / (PRIOR_PAIRS + means.length);
  }

  /** Takes a level into account, at which samples have these weights. */
  void level(List<BodyResponse.Sample> samples, double[] weight) {
    Map<Integer, Double> pairs = new HashMap<>();
    for (int i = 0; i < samples.size(); i++) {
      pairs.merge(samples.get(i).pair(), weight[i], Double::sum);
    }
    double sum = 0;
    double square = 0;
    for (double w : pairs.values()) {
      sum += w;
      square += w * w;
    }
    // a pair far from the level says nothing of it, however alone it stands there
    double count = square > 0 ? sum * sum / square * Math.min(1, sum) : 0;
    squares += 1 / (1 / (PRIOR_ERROR * PRIOR_ERROR) + count / scatter);
    levels++;
  }

  /** Root of the mean square over the levels that were taken, relative to the slope. */
  double value() {
    return levels == 0 ? PRIOR_ERROR : Math.sqrt(squares / levels);
  }
}
