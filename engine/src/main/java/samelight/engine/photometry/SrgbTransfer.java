package samelight.engine.photometry;

/**
 * The sRGB transfer characteristic ([IEC61966-2-1]): between code values and linear light relative
 * to white, both 0 to 1.
 */
public final class SrgbTransfer {
  /** Share of red in relative luminance ([BT709]). */
  public static final double RED = 0.2126;

  /** Share of green in relative luminance ([BT709]). */
  public static final double GREEN = 0.7152;

  /** Share of blue in relative luminance ([BT709]). */
  public static final double BLUE = 0.0722;

  private static final double[] LINEAR = new double[256];

  static {
    for (int code = 0; code < 256; code++) {
      LINEAR[code] = decode(code / 255.0);
    }
  }

  private SrgbTransfer() {}

  /**
   * Linear light of a code value.
   *
   * @param encoded 0 to 1
   * @throws IllegalArgumentException if out of range
   */
  public static double decode(double encoded) {
    check("encoded sRGB value", encoded);
    return encoded <= 0.04045 ? encoded / 12.92 : Math.pow((encoded + 0.055) / 1.055, 2.4);
  }

  /**
   * Code value of linear light.
   *
   * @param linear 0 to 1
   * @throws IllegalArgumentException if out of range
   */
  public static double encode(double linear) {
    check("linear value", linear);
    return linear <= 0.0031308 ? linear * 12.92 : 1.055 * Math.pow(linear, 1 / 2.4) - 0.055;
  }

  /**
   * Linear light of an 8-bit code value, from a table.
   *
   * @param code 0 to 255
   * @throws IndexOutOfBoundsException if out of range
   */
  public static double decode8(int code) {
    return LINEAR[code];
  }

  /**
   * The nearest 8-bit code value of linear light; light outside 0 to 1 is clipped.
   *
   * @param linear any number; not a number gives 0
   * @return 0 to 255
   */
  public static int encode8(double linear) {
    if (!(linear > 0)) {
      return 0;
    }
    return linear >= 1 ? 255 : (int) Math.round(encode(linear) * 255);
  }

  /**
   * Relative luminance of an 8-bit pixel, 0 (black) to 1 (white).
   *
   * @throws IndexOutOfBoundsException if a code value isn't 0 to 255
   */
  public static double luminance8(int red, int green, int blue) {
    return RED * LINEAR[red] + GREEN * LINEAR[green] + BLUE * LINEAR[blue];
  }

  private static void check(String what, double value) {
    if (!(value >= 0 && value <= 1)) {
      throw new IllegalArgumentException(what + " must lie within 0 and 1, was " + value);
    }
  }
}
