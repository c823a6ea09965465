package samelight.engine.proof;

import samelight.engine.colour.Matrix3;
import samelight.engine.frame.SmallImage;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.photometry.SrgbTransfer;
import samelight.engine.quantity.Ev;

/**
 * Renders pictures of one body anew: each code value becomes linear light through the sRGB decoder
 * ([IEC61966-2-1]) and the response of the body, the colour of the light is changed by a matrix on
 * linear sRGB primaries, the exposure by a power of two, and the result goes back the same way.
 * Immutable.
 */
public final class Proof {
  /** Exposure below this is black, in stops from full scale. */
  private static final double DARKEST = -20;

  private static final double BRIGHTEST = 6;

  /** Places in the table from exposure to code values, a stop: code values come out exact. */
  private static final int PER_STOP = 512;

  private static final double LN2 = Math.log(2);

  private final double[] linear = new double[256];
  private final byte[] codes = new byte[(int) ((BRIGHTEST - DARKEST) * PER_STOP) + 1];

  /**
   * Makes the tables.
   *
   * @param response of the body that rendered the pictures
   */
  public Proof(BodyResponse response) {
    for (int code = 0; code < 256; code++) {
      linear[code] = Math.pow(2, response.ofCode(code));
    }
    for (int i = 0; i < codes.length; i++) {
      double rendered = response.rendered(DARKEST + (double) i / PER_STOP);
      codes[i] = (byte) SrgbTransfer.encode8(Math.pow(2, rendered));
    }
  }

  /**
   * The picture as it would look.
   *
   * @param image as the camera rendered it
   * @param light matrix on linear light in sRGB primaries, such as {@link ProofWhite} gives
   * @param stops stops to add
   */
  public SmallImage render(SmallImage image, Matrix3 light, Ev stops) {
    if (light.equals(Matrix3.IDENTITY) && stops.stops() == 0) {
      return image;
    }
    double gain = Math.pow(2, stops.stops());
    double[] m = new double[9];
    for (int i = 0; i < 9; i++) {
      m[i] = gain * light.at(i / 3, i % 3);
    }
    byte[] from = image.rgb();
    byte[] to = new byte[from.length];
    for (int i = 0; i < from.length; i += 3) {
      double r = linear[from[i] & 0xFF];
      double g = linear[from[i + 1] & 0xFF];
      double b = linear[from[i + 2] & 0xFF];
      to[i] = code(m[0] * r + m[1] * g + m[2] * b);
      to[i + 1] = code(m[3] * r + m[4] * g + m[5] * b);
      to[i + 2] = code(m[6] * r + m[7] * g + m[8] * b);
    }
    return new SmallImage(image.width(), image.height(), to);
  }

  private byte code(double exposure) {
    if (!(exposure > 0)) {
      return codes[0];
    }
    long at = Math.round((Math.log(exposure) / LN2 - DARKEST) * PER_STOP);
    return codes[(int) Math.max(0, Math.min(codes.length - 1L, at))];
  }
}
