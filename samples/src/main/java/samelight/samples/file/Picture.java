package samelight.samples.file;

/** A rendered picture, upright or as the sensor lay. */
public final class Picture {

  private final int width;
  private final int height;
  private final int[] rgb;

  /**
   * Takes over the pixels without a copy.
   *
   * @param width in pixels, above 0
   * @param height in pixels, above 0
   * @param rgb packed 0xRRGGBB, row by row
   */
  public Picture(int width, int height, int[] rgb) {
    if (width <= 0 || height <= 0 || rgb.length != width * height) {
      throw new IllegalArgumentException(
          "a picture of " + width + "x" + height + " has no " + rgb.length + " pixels");
    }
    this.width = width;
    this.height = height;
    this.rgb = rgb;
  }

  /** Width in pixels. */
  public int width() {
    return width;
  }

  /** Height in pixels. */
  public int height() {
    return height;
  }

  /** The pixels themselves, not a copy. */
  int[] rgb() {
    return rgb;
  }

  /** The picture made smaller by averaging, to a width. */
  public Picture reduced(int newWidth) {
    int newHeight = Math.max(1, Math.round(height * (float) newWidth / width));
    int[] out = new int[newWidth * newHeight];
    for (int y = 0; y < newHeight; y++) {
      int y0 = y * height / newHeight;
      int y1 = Math.max(y0 + 1, (y + 1) * height / newHeight);
      for (int x = 0; x < newWidth; x++) {
        int x0 = x * width / newWidth;
        int x1 = Math.max(x0 + 1, (x + 1) * width / newWidth);
        int r = 0;
        int g = 0;
        int b = 0;
        for (int j = y0; j < y1; j++) {
          for (int i = x0; i < x1; i++) {
            int p = rgb[j * width + i];
            r += p >> 16 & 255;
            g += p >> 8 & 255;
            b += p & 255;
          }
        }
        int n = (y1 - y0) * (x1 - x0);
        out[y * newWidth + x] =
            (((r + n / 2) / n) << 16) | (((g + n / 2) / n) << 8) | ((b + n / 2) / n);
      }
    }
    return new Picture(newWidth, newHeight, out);
  }
}
