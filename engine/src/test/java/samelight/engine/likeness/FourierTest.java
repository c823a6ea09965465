package samelight.engine.likeness;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.transform.DftNormalization;
import org.apache.commons.math3.transform.FastFourierTransformer;
import org.apache.commons.math3.transform.TransformType;
import org.junit.jupiter.api.Test;

/** Against the transform of Apache Commons Math, a reference of another make. */
class FourierTest {
  private static float[][] random(long seed, int rows, int columns) {
    Random random = new Random(seed);
    float[][] z = new float[rows][columns];
    for (float[] row : z) {
      for (int i = 0; i < columns; i++) {
        row[i] = (float) random.nextGaussian();
      }
    }
    return z;
  }

  private static float[][] copy(float[][] z) {
    float[][] c = new float[z.length][];
    for (int i = 0; i < z.length; i++) {
      c[i] = z[i].clone();
    }
    return c;
  }

  private static int reversed(int i, int n) {
    return Integer.reverse(i) >>> (32 - Integer.numberOfTrailingZeros(n));
  }

  @Test
  void forward_isTheTransform_transposedAndBitReversed() {
    int w = 64;
    int h = 32;
    float[][] re = random(1, h, w);
    FastFourierTransformer reference = new FastFourierTransformer(DftNormalization.STANDARD);
    Complex[][] rows = new Complex[h][];
    for (int y = 0; y < h; y++) {
      double[] row = new double[w];
      for (int x = 0; x < w; x++) {
        row[x] = re[y][x];
      }
      rows[y] = reference.transform(row, TransformType.FORWARD);
    }
    float[][] outRe = new float[w][h];
    float[][] outIm = new float[w][h];
    new Fourier(w, h).forward(copy(re), new float[h][w], outRe, outIm);
    for (int u = 0; u < w; u++) {
      Complex[] column = new Complex[h];
      for (int y = 0; y < h; y++) {
        column[y] = rows[y][u];
      }
      Complex[] expected = reference.transform(column, TransformType.FORWARD);
      for (int v = 0; v < h; v++) {
        assertThat(outRe[reversed(u, w)][reversed(v, h)])
            .isCloseTo((float) expected[v].getReal(), within(2e-4f));
        assertThat(outIm[reversed(u, w)][reversed(v, h)])
            .isCloseTo((float) expected[v].getImaginary(), within(2e-4f));
      }
    }
  }

  @Property(tries = 20)
  void inverse_ofForward_isThePicture(@ForAll long seed) {
    int w = 64;
    int h = 64;
    float[][] re = random(seed, h, w);
    float[][] im = random(seed + 1, h, w);
    float[][] a = copy(re);
    float[][] b = copy(im);
    float[][] c = new float[w][h];
    float[][] d = new float[w][h];
    Fourier f = new Fourier(w, h);
    f.forward(a, b, c, d);
    f.inverse(c, d, a, b, new int[] {0}, w);
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        assertThat(a[y][x] / (w * h)).isCloseTo(re[y][x], within(1e-5f));
        assertThat(b[y][x] / (w * h)).isCloseTo(im[y][x], within(1e-5f));
      }
    }
  }

  @Property(tries = 20)
  void inverse_ofTwoSideBySide_hasTheColumnsThatAreAskedFor(@ForAll long seed) {
    int w = 64;
    int h = 32;
    int[] first = {-9, 40};
    int span = 36;
    float[][] both = random(seed, h, 2 * w);
    float[][] c = new float[w][2 * h];
    float[][] d = new float[w][2 * h];
    Fourier f = new Fourier(w, h);
    f.forward(copy(both), new float[h][2 * w], c, d);
    float[][] re = new float[h][2 * span];
    f.inverse(c, d, re, new float[h][2 * span], first, span);
    for (int y = 0; y < h; y++) {
      for (int k = 0; k < 2; k++) {
        for (int x = 0; x < span; x++) {
          assertThat(re[y][k * span + x] / (w * h))
              .isCloseTo(both[y][k * w + Math.floorMod(first[k] + x, w)], within(1e-5f));
        }
      }
    }
  }
}
