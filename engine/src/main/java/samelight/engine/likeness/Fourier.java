package samelight.engine.likeness;

/**
 * Two-dimensional complex discrete Fourier transform of sizes that are powers of two, in place
 * ([COOLEY65]). Written out because the arrays are tiny (64 x 32) and hundreds of thousands of
 * transforms are needed: a general library spends longer on its set-up.
 *
 * <p>A picture is an array of rows, real and imaginary parts apart, and each step works on whole
 * rows, which the compiler turns into vector instructions: the longer the rows, the better, so
 * several pictures may lie side by side. The forward transform leaves a transposed, bit-reversed
 * spectrum (decimation in frequency), the inverse takes one (decimation in time): products of
 * spectra don't mind, and nothing has to be put in order.
 */
final class Fourier {
  private final int width;
  private final int height;
  private final float[] cosX;
  private final float[] sinX;
  private final float[] cosY;
  private final float[] sinY;

  Fourier(int width, int height) {
    this.width = width;
    this.height = height;
    this.cosX = table(width, true);
    this.sinX = table(width, false);
    this.cosY = table(height, true);
    this.sinY = table(height, false);
  }

  private static float[] table(int n, boolean cos) {
    float[] t = new float[n / 2];
    for (int i = 0; i < t.length; i++) {
      double a = -2 * Math.PI * i / n;
      t[i] = (float) (cos ? Math.cos(a) : Math.sin(a));
    }
    return t;
  }

  /**
   * From {@code height} rows to a spectrum of {@code width} rows, of one picture or of several side
   * by side.
   *
   * @param re real parts, each row {@code width} numbers of each picture; overwritten
   * @param im imaginary parts; overwritten
   * @param outRe real parts of the spectrum, each row {@code height} numbers of each picture
   * @param outIm imaginary parts of the spectrum
   */
  void forward(float[][] re, float[][] im, float[][] outRe, float[][] outIm) {
    inFrequency(re, im, height, cosY, sinY);
    transpose(re, outRe);
    transpose(im, outIm);
    inFrequency(outRe, outIm, width, cosX, sinX);
  }

  /**
   * From a spectrum of {@code width} rows back to {@code height} rows, without the factor 1/(width
   * x height), and without the columns that nobody asks for.
   *
   * @param re real parts of the spectrum, as {@link #forward} leaves it; overwritten
   * @param im imaginary parts of the spectrum; overwritten
   * @param outRe real parts, each row {@code span} numbers of each picture
   * @param outIm imaginary parts
   * @param first the first column that is asked for, of each picture; columns go round
   * @param span number of columns that are asked for, a multiple of {@link Rows#AT_ONCE}
   */
  void inverse(
      float[][] re, float[][] im, float[][] outRe, float[][] outIm, int[] first, int span) {
    inTime(re, im, width, cosX, sinX);
    transpose(re, outRe, first, span);
    transpose(im, outIm, first, span);
    inTime(outRe, outIm, height, cosY, sinY);
  }

  private void transpose(float[][] from, float[][] to) {
    for (int at = 0, k = 0; at < from[0].length; at += width, k++) {
      for (int y = 0; y < height; y += Rows.AT_ONCE) {
        Rows.turn(from[y], from[y + 1], from[y + 2], from[y + 3], at, to, k * height + y);
      }
    }
  }

  private void transpose(float[][] from, float[][] to, int[] first, int span) {
    int round = width - 1;
    for (int k = 0; k < first.length; k++) {
      for (int i = 0; i < span; i += Rows.AT_ONCE) {
        int x = first[k] + i;
        Rows.turn(
            from[x & round],
            from[(x + 1) & round],
            from[(x + 2) & round],
            from[(x + 3) & round],
            k * height,
            to,
            k * span + i);
      }
    }
  }

  private static void inFrequency(float[][] re, float[][] im, int n, float[] cos, float[] sin) {
    for (int half = n / 2; half >= 1; half >>= 1) {
      int stride = n / (2 * half);
      for (int block = 0; block < n; block += 2 * half) {
        for (int k = 0; k < half; k++) {
          int a = block + k;
          int b = a + half;
          apart(re[a], im[a], re[b], im[b], cos[k * stride], sin[k * stride]);
        }
      }
    }
  }

  private static void inTime(float[][] re, float[][] im, int n, float[] cos, float[] sin) {
    for (int half = 1; half < n; half <<= 1) {
      int stride = n / (2 * half);
      for (int block = 0; block < n; block += 2 * half) {
        for (int k = 0; k < half; k++) {
          int a = block + k;
          int b = a + half;
          together(re[a], im[a], re[b], im[b], cos[k * stride], -sin[k * stride]);
        }
      }
    }
  }

  private static void apart(float[] ar, float[] ai, float[] br, float[] bi, float c, float s) {
    for (int i = 0; i < ar.length; i++) {
      float re = ar[i] - br[i];
      float im = ai[i] - bi[i];
      ar[i] = ar[i] + br[i];
      ai[i] = ai[i] + bi[i];
      br[i] = re * c - im * s;
      bi[i] = re * s + im * c;
    }
  }

  private static void together(float[] ar, float[] ai, float[] br, float[] bi, float c, float s) {
    for (int i = 0; i < ar.length; i++) {
      float re = br[i] * c - bi[i] * s;
      float im = br[i] * s + bi[i] * c;
      br[i] = ar[i] - re;
      bi[i] = ai[i] - im;
      ar[i] = ar[i] + re;
      ai[i] = ai[i] + im;
    }
  }
}
