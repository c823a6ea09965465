package samelight.samples.picture;

import java.awt.image.BufferedImage;
import samelight.samples.camera.ToneCurve;

/** A place seen from one side, wide enough to be framed in many ways. Immutable. */
public final class Panorama {

  /** Width in its own pixels. */
  public static final int WIDTH = 1100;

  /** Height in its own pixels. */
  public static final int HEIGHT = 480;

  static final float[] LINEAR = new float[256];

  static {
    for (int i = 0; i < 256; i++) {
      LINEAR[i] = (float) ToneCurve.decode(i / 255.0);
    }
  }

  /** Linear sRGB, relative to a white surface in the place's own light; lamps exceed 1. */
  final float[] rgb = new float[3 * WIDTH * HEIGHT];

  /** Share of the place's other light at each pixel, 0 to 1. */
  final float[] other = new float[WIDTH * HEIGHT];

  /**
   * From painted layers.
   *
   * @param colour surfaces as sRGB
   * @param boost how much brighter than white: 255 is five stops
   * @param otherLight share of the other light, 255 is all
   * @param blur radius of the lens's blur in pixels
   */
  Panorama(BufferedImage colour, BufferedImage boost, BufferedImage otherLight, int blur) {
    int[] row = new int[WIDTH];
    int[] boostRow = new int[WIDTH];
    int[] otherRow = new int[WIDTH];
    float[] gain = new float[256];
    for (int i = 0; i < 256; i++) {
      gain[i] = (float) StrictMath.pow(2, i / 51.0);
    }
    for (int y = 0; y < HEIGHT; y++) {
      colour.getRGB(0, y, WIDTH, 1, row, 0, WIDTH);
      boost.getRGB(0, y, WIDTH, 1, boostRow, 0, WIDTH);
      otherLight.getRGB(0, y, WIDTH, 1, otherRow, 0, WIDTH);
      for (int x = 0; x < WIDTH; x++) {
        int i = y * WIDTH + x;
        float g = gain[boostRow[x] & 255];
        rgb[3 * i] = g * LINEAR[row[x] >> 16 & 255];
        rgb[3 * i + 1] = g * LINEAR[row[x] >> 8 & 255];
        rgb[3 * i + 2] = g * LINEAR[row[x] & 255];
        other[i] = (otherRow[x] & 255) / 255f;
      }
    }
    if (blur > 0) {
      for (int pass = 0; pass < 2; pass++) {
        for (int c = 0; c < 3; c++) {
          blur(rgb, 3, c, blur);
        }
      }
    }
    blur(other, 1, 0, blur + 4);
  }

  private static void blur(float[] data, int stride, int channel, int radius) {
    float[] line = new float[Math.max(WIDTH, HEIGHT)];
    for (int y = 0; y < HEIGHT; y++) {
      blurLine(data, (y * WIDTH) * stride + channel, stride, WIDTH, radius, line);
    }
    for (int x = 0; x < WIDTH; x++) {
      blurLine(data, x * stride + channel, stride * WIDTH, HEIGHT, radius, line);
    }
  }

  private static void blurLine(float[] d, int start, int step, int n, int radius, float[] line) {
    double sum = 0;
    for (int k = -radius; k <= radius; k++) {
      sum += d[start + step * Math.max(0, Math.min(n - 1, k))];
    }
    for (int i = 0; i < n; i++) {
      line[i] = (float) (sum / (2 * radius + 1));
      sum +=
          d[start + step * Math.min(n - 1, i + radius + 1)]
              - d[start + step * Math.max(0, i - radius)];
    }
    for (int i = 0; i < n; i++) {
      d[start + step * i] = line[i];
    }
  }
}
