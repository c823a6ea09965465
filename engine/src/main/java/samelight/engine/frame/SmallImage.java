package samelight.engine.frame;

import java.util.Arrays;

/**
 * The frame at thumbnail size, as rendered by the camera: 8-bit sRGB code values, upright or not as
 * stored, without black bars. Immutable by convention: callers must not change {@link #rgb}.
 *
 * @param width pixels, 1 to 512
 * @param height pixels, 1 to 512
 * @param rgb width x height x 3 bytes, rows from the top, R G B
 */
@SuppressWarnings("ArrayRecordComponent") // pixels; equality by content is written out below
public record SmallImage(int width, int height, byte[] rgb) {
  /**
   * @throws IllegalArgumentException if sizes are out of range or don't fit the bytes
   */
  public SmallImage {
    if (width < 1 || width > 512 || height < 1 || height > 512) {
      throw new IllegalArgumentException(
          "small image sides must lie within 1 and 512, were " + width + " x " + height);
    }
    if (rgb.length != width * height * 3) {
      throw new IllegalArgumentException(
          "small image needs " + width * height * 3 + " bytes, had " + rgb.length);
    }
  }

  /**
   * One code value.
   *
   * @param channel 0 red, 1 green, 2 blue
   * @return 0 to 255
   */
  public int code(int x, int y, int channel) {
    return rgb[(y * width + x) * 3 + channel] & 0xFF;
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof SmallImage that
        && width == that.width
        && height == that.height
        && Arrays.equals(rgb, that.rgb);
  }

  @Override
  public int hashCode() {
    return 31 * (31 * width + height) + Arrays.hashCode(rgb);
  }

  @Override
  public String toString() {
    return "SmallImage[" + width + " x " + height + "]";
  }
}
