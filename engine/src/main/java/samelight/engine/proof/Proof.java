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
  private static final int DARKEST = -20;

  private static final int BRIGHTEST = 6;

  /**
   * Bits of an exposure's significand that choose its place in the table of code values: places are
   * 0.0007 stop apart at most, code values 0.01 at least.
   */
  private static final int BITS = 11;

  /** Bits of a double's significand that are left out (IEEE 754, binary64). */
  private static final int LEFT_OUT = 52 - BITS;

  private static final long FIRST =
      Double.doubleToRawLongBits(Math.scalb(1.0, DARKEST)) >>> LEFT_OUT;

  private final double[] linear = new double[256];
  private final byte[] codes = new byte[(BRIGHTEST - DARKEST) << BITS];

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
      double middle = Double.longBitsToDouble(((FIRST + i) << LEFT_OUT) + (1L << (LEFT_OUT - 1)));
      double rendered = response.rendered(Math.log(middle) / Math.log(2));
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
    long at = (Double.doubleToRawLongBits(exposure) >>> LEFT_OUT) - FIRST;
    if (!(exposure > 0) || at < 0) {
      return codes[0];
    }
    return codes[(int) Math.min(codes.length - 1L, at)];
  }
}
