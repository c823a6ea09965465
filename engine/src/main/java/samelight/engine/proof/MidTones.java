package samelight.engine.proof;

import java.util.Arrays;
import java.util.List;
import samelight.engine.frame.SmallImage;
import samelight.engine.photometry.SrgbTransfer;
import samelight.engine.photometry.Weighted;

/**
 * Brightness of the mid-tones: the mean of log2 luminance ([BT709], linear by [IEC61966-2-1]) over
 * the pixels that are neither near black nor near white as shot (green code value 24 to 230, common
 * practice, no source).
 */
public final class MidTones {
  private static final int DARKEST = 24;
  private static final int BRIGHTEST = 230;

  private MidTones() {}

  /**
   * How far the frames of a group are from its middle, in stops.
   *
   * @param median half of the frames are within this, 0 or more
   * @param p95 95 of 100 frames are within this, 0 or more
   */
  public record Spread(double median, double p95) {}

  /**
   * Brightness of a picture in stops, 0 is white; over the same pixels whatever the rendering.
   *
   * @param shot as the camera rendered it, which says the pixels
   * @param rendered the same picture, rendered otherwise or not
   * @return not a number where no pixel counts
   * @throws IllegalArgumentException if the sizes differ
   */
  public static double brightness(SmallImage shot, SmallImage rendered) {
    byte[] says = shot.rgb();
    byte[] rgb = rendered.rgb();
    if (says.length != rgb.length) {
      throw new IllegalArgumentException("pictures must be of one size, were " + shot + rendered);
    }
    double sum = 0;
    double product = 1; // of up to 64 values of at least 1e-4: far from underflow
    int n = 0;
    for (int i = 0; i < rgb.length; i += 3) {
      int green = says[i + 1] & 0xFF;
      if (green >= DARKEST && green <= BRIGHTEST) {
        double y = SrgbTransfer.luminance8(rgb[i] & 0xFF, rgb[i + 1] & 0xFF, rgb[i + 2] & 0xFF);
        product *= Math.max(y, 1e-4);
        n++;
        if ((n & 63) == 0) {
          sum += Math.log(product);
          product = 1;
        }
      }
    }
    sum += Math.log(product);
    return n == 0 ? Double.NaN : sum / n / Math.log(2);
  }

  /**
   * The spread of brightnesses around their median.
   *
   * @param brightness in stops; those that aren't numbers are left out
   * @return not numbers where there is none
   */
  public static Spread spread(List<Double> brightness) {
    double[] b = brightness.stream().mapToDouble(d -> d).filter(d -> !Double.isNaN(d)).toArray();
    if (b.length == 0) {
      return new Spread(Double.NaN, Double.NaN);
    }
    double middle = Weighted.median(b);
    double[] off = Arrays.stream(b).map(d -> Math.abs(d - middle)).sorted().toArray();
    // the smallest value that 95 of 100 don't exceed
    int at = (int) Math.ceil(0.95 * off.length) - 1;
    return new Spread(Weighted.median(off), off[Math.max(0, at)]);
  }
}
