package samelight.engine.likeness;

/**
 * Two-dimensional complex discrete Fourier transform of sizes that are powers of two, in place
 * ([COOLEY65]). Written out because the arrays are tiny (64 x 32) and hundreds of thousands of
 * transforms are needed: a general library spends longer on its set-up.
 *
 * <p>A picture is an array of rows, real and imaginary parts apart, and each step works on whole
 * rows, which the compiler turns into vector instructions. The forward transform leaves a
 * transposed, bit-reversed spectrum (decimation in frequency), the inverse takes one (decimation in
 * time): products of spectra don't mind, and nothing has to be put in order.
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
   * From {@code height} rows of {@code width} numbers to a spectrum of {@code width} rows.
   *
   * @param re real parts; overwritten
   * @param im imaginary parts; overwritten
   * @param outRe real parts of the spectrum
   * @param outIm imaginary parts of the spectrum
   */
  void forward(float[][] re, float[][] im, float[][] outRe, float[][] outIm) {
    inFrequency(re, im, height, cosY, sinY);
    transpose(re, outRe, height, width);
    transpose(im, outIm, height, width);
    inFrequency(outRe, outIm, width, cosX, sinX);
  }

  /**
   * From a spectrum of {@code width} rows back to {@code height} rows, without the factor 1/(width
   * x height).
   *
   * @param re real parts of the spectrum; overwritten
   * @param im imaginary parts of the spectrum; overwritten
   * @param outRe real parts
   * @param outIm imaginary parts
   */
  void inverse(float[][] re, float[][] im, float[][] outRe, float[][] outIm) {
    inTime(re, im, width, cosX, sinX);
    transpose(re, outRe, width, height);
    transpose(im, outIm, width, height);
    inTime(outRe, outIm, height, cosY, sinY);
  }

  private static void transpose(float[][] from, float[][] to, int rows, int columns) {
    for (int x = 0; x < columns; x++) {
      float[] row = to[x];
      for (int y = 0; y < rows; y++) {
        row[y] = from[y][x];
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
