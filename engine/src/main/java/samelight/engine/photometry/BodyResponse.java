package samelight.engine.photometry;

import java.util.List;

/**
 * How one body's rendering answers to exposure: the inverse of its tone curve, as log2 exposure
 * over log2 of the linear value that an sRGB decoder gives (IEC 61966-2-1).
 *
 * <p>A camera's JPEG isn't plain sRGB: around mid-grey its slope is 0.96 to 1.5 stops rendered per
 * stop of exposure, less in the toe and the shoulder. The slope at each level is the weighted
 * median of (rendered difference)/(difference of settings) over patches seen twice at different
 * settings in the same light, the weight a Gaussian of half a stop around the level; the inverse
 * slope is then integrated over the level (recovering a response from differently exposed pictures
 * of one scene goes back to [DEBEVEC97]; here the settings are known and the curve is smooth, so no
 * least-squares system is needed). The curve is anchored at 18 %, where ISO 12232 fixes the
 * standard output sensitivity; an offset between bodies can't be told from the curve.
 */
public final class BodyResponse {
  private static final double LOW = -8.5;
  private static final double STEP = 0.5;
  private static final int KNOTS = 18;
  private static final double GREY = Math.log(0.18) / Math.log(2);

  /** Slope assumed where a shoot shows nothing; the middle of what real cameras show. */
  private static final double PRIOR_SLOPE = 1.15;

  private static final double PRIOR_WEIGHT = 4;

  /** Knots in use: from five stops below full scale to one. */
  private static final int FIRST_USED = 7;

  private static final int LAST_USED = 15;

  /** Plain sRGB: exposure is the decoded value. */
  public static final BodyResponse SRGB = new BodyResponse(flat(1), 0);

  private final double[] exposure;
  private final double slopeSigma;
  private final float[] byCode = new float[256];
  private long fingerprint;

  private BodyResponse(double[] slope, double slopeSigma) {
    this.slopeSigma = slopeSigma;
    exposure = new double[KNOTS];
    for (int i = 1; i < KNOTS; i++) {
      exposure[i] = exposure[i - 1] + STEP * 0.5 * (1 / slope[i] + 1 / slope[i - 1]);
    }
    double shift = GREY - at(GREY);
    for (int i = 0; i < KNOTS; i++) {
      exposure[i] += shift;
    }
    for (int c = 0; c < 256; c++) {
      byCode[c] =
          (float) at(Math.log(Math.max(SrgbTransfer.decode(c / 255.0), 1e-4)) / Math.log(2));
      fingerprint = 31 * fingerprint + Float.floatToIntBits(byCode[c]);
    }
  }

  private static double[] flat(double slope) {
    double[] s = new double[KNOTS];
    java.util.Arrays.fill(s, slope);
    return s;
  }

  /**
   * A patch seen twice by one body in the same light.
   *
   * @param level mean of the two log2 linear values rendered
   * @param rendered their difference, in stops
   * @param settings difference of exposure by the settings, in stops, not 0
   * @param pair number of the two frames that it lies in: patches of one pair err together
   */
  public record Sample(double level, double rendered, double settings, int pair) {}

  /**
   * Learns a response.
   *
   * @param samples patches seen twice; none gives the slope of an ordinary camera everywhere
   */
  public static BodyResponse learn(List<Sample> samples) {
    double[] slope = new double[KNOTS];
    int n = samples.size();
    double[] value = new double[n + 1];
    double[] weight = new double[n + 1];
    for (int k = 0; k < KNOTS; k++) {
      double level = LOW + k * STEP;
      for (int i = 0; i < n; i++) {
        Sample s = samples.get(i);
        value[i] = s.rendered() / s.settings();
        weight[i] = weight(s, level);
      }
      value[n] = PRIOR_SLOPE;
      weight[n] = PRIOR_WEIGHT;
      slope[k] = Math.max(0.5, Math.min(2, Weighted.median(value, weight)));
    }
    return new BodyResponse(slope, slopeError(samples, slope));
  }

  private static double slopeError(List<Sample> samples, double[] slope) {
    int n = samples.size();
    double[] deviations = new double[n];
    for (int i = 0; i < n; i++) {
      Sample s = samples.get(i);
      int k = (int) Math.max(0, Math.min(KNOTS - 1.0, Math.rint((s.level() - LOW) / STEP)));
      deviations[i] = s.rendered() / s.settings() / slope[k] - 1;
    }
    SlopeError error = new SlopeError(samples, deviations);
    for (int k = FIRST_USED; k <= LAST_USED; k++) {
      double[] weight = new double[n];
      for (int i = 0; i < n; i++) {
        weight[i] = weight(samples.get(i), LOW + k * STEP);
      }
      error.level(samples, weight);
    }
    return error.value();
  }

  private static double weight(Sample s, double level) {
    double d = (s.level() - level) / 0.5;
    return Math.exp(-0.5 * d * d) * Math.abs(s.settings());
  }

  /** Log2 exposure for a log2 linear rendered value, both relative to full scale. */
  public double at(double rendered) {
    double k = (rendered - LOW) / STEP;
    int i = (int) Math.max(0, Math.min(KNOTS - 2.0, Math.floor(k)));
    return exposure[i] + (k - i) * (exposure[i + 1] - exposure[i]);
  }

  /** Log2 linear rendered value for a log2 exposure: the inverse of {@link #at}. */
  public double rendered(double log2Exposure) {
    int i = 0;
    while (i < KNOTS - 2 && log2Exposure >= exposure[i + 1]) {
      i++;
    }
    return LOW + STEP * (i + (log2Exposure - exposure[i]) / (exposure[i + 1] - exposure[i]));
  }

  /**
   * Log2 exposure for an 8-bit sRGB code value.
   *
   * @param code 0 to 255
   */
  public float ofCode(int code) {
    return byCode[code];
  }

  /** A number that is another for a response that answers otherwise. */
  public long fingerprint() {
    return fingerprint;
  }

  /** Rendered stops per stop of exposure at a log2 linear rendered value. */
  public double slope(double rendered) {
    return 0.5 / (at(rendered + 0.25) - at(rendered - 0.25));
  }

  /**
   * One standard deviation of the error of a difference of exposures, relative to it: what is not
   * known of the slope.
   */
  public double slopeSigma() {
    return slopeSigma;
  }
}
