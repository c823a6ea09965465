package samelight.samples.light;

/**
 * Light of a lamp on alternating current, as one exposure collects it.
 *
 * <p>The lamp's light follows 1 + m cos(2 pi f t) with f twice the mains frequency. Its mean over
 * an exposure that opens at t and lasts d is
 *
 * <pre>
 * 1 + m * sin(pi f d) / (pi f d) * cos(2 pi f (t + d/2))
 * </pre>
 *
 * (integral of a cosine over a window), so that an exposure of a whole number of periods is exact
 * and a short one depends on its moment.
 *
 * @param hertz flicker frequency, above 0: 100 where the mains has 50
 * @param depth modulation m, 0 to below 1
 */
public record MainsFlicker(double hertz, double depth) {

  /** Checks the ranges. */
  public MainsFlicker {
    if (!(hertz > 0)) {
      throw new IllegalArgumentException("flicker frequency must be above 0 Hz, got " + hertz);
    }
    if (!(depth >= 0 && depth < 1)) {
      throw new IllegalArgumentException("flicker depth must be 0 to below 1, got " + depth);
    }
  }

  /** Stops gained against the lamp's mean light by an exposure; both times in seconds. */
  public double stops(double opens, double lasts) {
    double phase = StrictMath.PI * hertz * lasts;
    double sinc = phase == 0 ? 1 : StrictMath.sin(phase) / phase;
    return Light.log2(
        1 + depth * sinc * StrictMath.cos(2 * StrictMath.PI * hertz * (opens + lasts / 2)));
  }
}
