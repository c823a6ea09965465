package samelight.engine.lighting;

/**
 * By how much differences of light that were measured between framings of one place err more than
 * they were said to, learned from a shoot whose light mostly stood still for a moment.
 *
 * <p>Measured differences z, in stated deviations, of framings that follow each other at once are
 * either errors, normal with deviation s, or changes of light, normal with deviation S: a mixture
 * of two normals with mean 0. Its parts are found by expectation and maximisation ([DEMPSTER77],
 * section 4.3): each z is an error with probability
 *
 * <p>q = p N(z; 0, s&sup2;) / (p N(z; 0, s&sup2;) + (1 - p) N(z; 0, S&sup2;)),
 *
 * <p>p is the mean of q, and s&sup2; = &Sigma; q z&sup2; / &Sigma; q, likewise S. A prior of s = 1
 * worth {@value #PRIOR} differences is joined, so that few of them change nothing.
 */
final class SteadySpread {
  static final double PRIOR = 10;
  private static final double LEAST_CHANGE = 3;
  private static final double LEAST = 0.3;
  private static final double MOST = 3;
  private static final int ROUNDS = 40;

  private SteadySpread() {}

  /**
   * Deviation of the errors, in stated ones.
   *
   * @param z differences in stated deviations
   * @return 0.3 to 3; 1 without differences
   */
  static double of(double[] z) {
    double error = 1;
    double change = 100;
    double share = 0.5;
    for (int round = 0; round < ROUNDS; round++) {
      double q = 0;
      double small = PRIOR;
      double large = 0;
      for (double d : z) {
        double e = share * normal(d, error);
        double c = (1 - share) * normal(d, change);
        double own = e + c > 0 ? e / (e + c) : 0;
        q += own;
        small += own * d * d;
        large += (1 - own) * d * d;
      }
      error = small / (q + PRIOR);
      // a change is no change unless it is larger than errors are
      change = Math.max(LEAST_CHANGE * LEAST_CHANGE * error, large / (z.length - q + 1e-9));
      share = (q + 1) / (z.length + 2);
    }
    return Math.max(LEAST, Math.min(MOST, Math.sqrt(error)));
  }

  private static double normal(double x, double variance) {
    return Math.exp(-0.5 * x * x / variance) / Math.sqrt(variance);
  }
}
