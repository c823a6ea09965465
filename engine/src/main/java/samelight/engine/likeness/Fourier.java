package samelight.engine.likeness;

/**
 * Two-dimensional complex discrete Fourier transform of sizes that are powers of two, in place, on
 * interleaved floats ([COOLEY65], radix 2). Written out because the arrays are tiny (64 x 32) and
 * millions of transforms are needed: a general library spends longer on its set-up.
 */
final class Fourier {
  private final int width;
  private final int height;
  private final float[] cosX;
  private final float[] sinX;
  private final float[] cosY;
  private final float[] sinY;
  private final int[] swapX;
  private final int[] swapY;

  Fourier(int width, int height) {
    this.width = width;
    this.height = height;
    this.cosX = table(width, true);
    this.sinX = table(width, false);
    this.cosY = table(height, true);
    this.sinY = table(height, false);
    this.swapX = reversal(width);
    this.swapY = reversal(height);
  }

  private static float[] table(int n, boolean cos) {
    float[] t = new float[n / 2];
    for (int i = 0; i < t.length; i++) {
      double a = -2 * Math.PI * i / n;
      t[i] = (float) (cos ? Math.cos(a) : Math.sin(a));
    }
    return t;
  }

  private static int[] reversal(int n) {
    int bits = Integer.numberOfTrailingZeros(n);
    int[] r = new int[n];
    for (int i = 0; i < n; i++) {
      r[i] = Integer.reverse(i) >>> (32 - bits);
    }
    return r;
  }

  /** Forward transform of width x height complex numbers, rows first. */
  void forward(float[] z) {
    for (int y = 0; y < height; y++) {
      line(z, y * width * 2, 2, width, cosX, sinX, swapX);
    }
    columns(z);
  }

  /** Inverse transform, without the factor 1/(width x height). */
  void inverse(float[] z) {
    for (int i = 1; i < z.length; i += 2) {
      z[i] = -z[i];
    }
    forward(z);
    for (int i = 1; i < z.length; i += 2) {
      z[i] = -z[i];
    }
  }

  private static void line(
      float[] z, int start, int step, int n, float[] cos, float[] sin, int[] swap) {
    for (int i = 0; i < n; i++) {
      int j = swap[i];
      if (j > i) {
        int a = start + i * step;
        int b = start + j * step;
        float re = z[a];
        float im = z[a + 1];
        z[a] = z[b];
        z[a + 1] = z[b + 1];
        z[b] = re;
        z[b + 1] = im;
      }
    }
    for (int half = 1; half < n; half <<= 1) {
      int stride = n / (2 * half);
      for (int block = 0; block < n; block += 2 * half) {
        for (int k = 0; k < half; k++) {
          int a = start + (block + k) * step;
          int b = a + half * step;
          float c = cos[k * stride];
          float s = sin[k * stride];
          float re = z[b] * c - z[b + 1] * s;
          float im = z[b] * s + z[b + 1] * c;
          z[b] = z[a] - re;
          z[b + 1] = z[a + 1] - im;
          z[a] += re;
          z[a + 1] += im;
        }
      }
    }
  }

  /** All columns at once, so that memory is walked along rows. */
  private void columns(float[] z) {
    int row = width * 2;
    for (int i = 0; i < height; i++) {
      int j = swapY[i];
      if (j > i) {
        for (int x = 0; x < row; x++) {
          float t = z[i * row + x];
          z[i * row + x] = z[j * row + x];
          z[j * row + x] = t;
        }
      }
    }
    for (int half = 1; half < height; half <<= 1) {
      int stride = height / (2 * half);
      for (int block = 0; block < height; block += 2 * half) {
        for (int k = 0; k < half; k++) {
          int a = (block + k) * row;
          int b = a + half * row;
          float c = cosY[k * stride];
          float s = sinY[k * stride];
          for (int x = 0; x < row; x += 2) {
            float re = z[b + x] * c - z[b + x + 1] * s;
            float im = z[b + x] * s + z[b + x + 1] * c;
            z[b + x] = z[a + x] - re;
            z[b + x + 1] = z[a + x + 1] - im;
            z[a + x] += re;
            z[a + x + 1] += im;
          }
        }
      }
    }
  }
}
