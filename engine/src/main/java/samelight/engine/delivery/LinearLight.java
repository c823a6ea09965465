package samelight.engine.delivery;

import samelight.engine.photometry.SrgbTransfer;

/**
 * Makes a picture smaller in linear light, so that fine light and dark mix as they do in the eye:
 * sRGB is decoded ([IEC61966-2-1]), filtered along rows and then along columns, and encoded again.
 * The filter is Lanczos' with three lobes (Duchon, C. E.: <i>Lanczos filtering in one and two
 * dimensions</i>, Journal of Applied Meteorology 18 (1979) 1016-1022, from memory), as wide as the
 * scale asks; weights are normalised, so that an even surface stays what it is.
 */
final class LinearLight {
  private static final double LOBES = 3;
  private static final int STEPS = 1 << 14;
  private static final float[] DECODED = new float[256];
  private static final byte[] ENCODED = new byte[STEPS + 1];

  static {
    for (int i = 0; i < 256; i++) {
      DECODED[i] = (float) SrgbTransfer.decode8(i);
    }
    for (int i = 0; i <= STEPS; i++) {
      ENCODED[i] = (byte) SrgbTransfer.encode8(square(i / (double) STEPS));
    }
  }

  private LinearLight() {}

  private static double square(double x) {
    return x * x;
  }

  /** A row of code values, red, green, blue. */
  interface Rows {
    void read(int y, byte[] into);
  }

  /** For each place of the result where its window begins and with which weights. */
  @SuppressWarnings("ArrayRecordComponent") // made once, never compared
  private record Windows(int[] from, float[][] weights) {
    static Windows of(int size, int smaller) {
      int[] from = new int[smaller];
      float[][] weights = new float[smaller][];
      double scale = Math.max(1, size / (double) smaller);
      double reach = LOBES * scale;
      for (int i = 0; i < smaller; i++) {
        double middle = (i + 0.5) * size / smaller;
        int low = (int) Math.max(0, Math.ceil(middle - reach - 0.5));
        int high = (int) Math.min(size - 1, Math.floor(middle + reach - 0.5));
        float[] w = new float[high - low + 1];
        double sum = 0;
        for (int k = low; k <= high; k++) {
          sum += lanczos((k + 0.5 - middle) / scale);
        }
        for (int k = low; k <= high; k++) {
          w[k - low] = (float) (lanczos((k + 0.5 - middle) / scale) / sum);
        }
        from[i] = low;
        weights[i] = w;
      }
      return new Windows(from, weights);
    }

    private static double lanczos(double x) {
      if (Math.abs(x) < 1e-9) {
        return 1;
      }
      if (Math.abs(x) >= LOBES) {
        return 0;
      }
      double a = Math.PI * x;
      return LOBES * Math.sin(a) * Math.sin(a / LOBES) / (a * a);
    }
  }

  /**
   * Scales.
   *
   * @param rows of the picture, asked for once each from the top
   * @param newWidth 1 to {@code width}
   * @param newHeight 1 to {@code height}
   * @return code values, red, green, blue, rows from the top
   */
  static byte[] scale(Rows rows, int width, int height, int newWidth, int newHeight) {
    if (newWidth < 1 || newHeight < 1 || newWidth > width || newHeight > height) {
      throw new IllegalArgumentException(
          "a picture can be made smaller only, was "
              + width
              + " x "
              + height
              + " to "
              + newWidth
              + " x "
              + newHeight);
    }
    Windows across = Windows.of(width, newWidth);
    Windows down = Windows.of(height, newHeight);
    float[][] sums = new float[newHeight][];
    byte[] row = new byte[3 * width];
    float[] light = new float[3 * width];
    float[] narrow = new float[3 * newWidth];
    byte[] out = new byte[3 * newWidth * newHeight];
    int first = 0;
    int last = 0;
    for (int y = 0; y < height; y++) {
      rows.read(y, row);
      for (int i = 0; i < light.length; i++) {
        light[i] = DECODED[row[i] & 255];
      }
      narrow(light, across, narrow);
      while (last < newHeight && down.from[last] <= y) {
        sums[last++] = new float[3 * newWidth];
      }
      for (int r = first; r < last; r++) {
        int k = y - down.from[r];
        float[] sum = sums[r];
        if (k < down.weights[r].length) {
          float w = down.weights[r][k];
          for (int i = 0; i < sum.length; i++) {
            sum[i] += w * narrow[i];
          }
        }
      }
      while (first < last && y - down.from[first] + 1 >= down.weights[first].length) {
        encode(sums[first], out, 3 * newWidth * first);
        sums[first++] = new float[0];
      }
    }
    return out;
  }

  private static void narrow(float[] light, Windows across, float[] to) {
    for (int x = 0; x < across.from.length; x++) {
      float[] w = across.weights[x];
      int at = 3 * across.from[x];
      float r = 0;
      float g = 0;
      float b = 0;
      for (float weight : w) {
        r += weight * light[at++];
        g += weight * light[at++];
        b += weight * light[at++];
      }
      to[3 * x] = r;
      to[3 * x + 1] = g;
      to[3 * x + 2] = b;
    }
  }

  private static void encode(float[] sums, byte[] out, int at) {
    for (int i = 0; i < sums.length; i++) {
      double light = Math.max(0, Math.min(1, sums[i]));
      out[at + i] = ENCODED[(int) Math.round(Math.sqrt(light) * STEPS)];
    }
  }
}
