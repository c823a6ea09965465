package samelight.engine.likeness;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;

/** Against means that are summed up pixel by pixel. */
class RowsTest {
  private static float[][] random(long seed, int height, int width) {
    Random random = new Random(seed);
    float[][] rows = new float[height][width];
    for (float[] row : rows) {
      for (int x = 0; x < width; x++) {
        row[x] = (float) random.nextGaussian();
      }
    }
    return rows;
  }

  private static double[][] mean(double[][] in, int r) {
    int h = in.length;
    int w = in[0].length;
    double[][] out = new double[h][w];
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        int n = 0;
        for (int v = Math.max(0, y - r); v <= Math.min(h - 1, y + r); v++) {
          for (int u = Math.max(0, x - r); u <= Math.min(w - 1, x + r); u++) {
            out[y][x] += in[v][u];
            n++;
          }
        }
        out[y][x] /= n;
      }
    }
    return out;
  }

  @Property(tries = 60)
  void boxMeanTwice_isTheMeanOfMeans(
      @ForAll long seed,
      @ForAll @IntRange(min = 1, max = 30) int height,
      @ForAll @IntRange(min = 1, max = 30) int width,
      @ForAll @IntRange(min = 1, max = 4) int r) {
    float[][] rows = random(seed, height, width);
    double[][] exact = new double[height][width];
    for (int y = 0; y < height; y++) {
      for (int x = 0; x < width; x++) {
        exact[y][x] = rows[y][x];
      }
    }
    double[][] expected = mean(mean(exact, r), r);
    float[][] found = Rows.boxMeanTwice(rows, r);
    for (int y = 0; y < height; y++) {
      for (int x = 0; x < width; x++) {
        assertThat((double) found[y][x]).isCloseTo(expected[y][x], within(1e-5));
      }
    }
  }

  @Property(tries = 40)
  void shrink_keepsTheMean(
      @ForAll long seed,
      @ForAll @IntRange(min = 8, max = 60) int height,
      @ForAll @IntRange(min = 8, max = 60) int width,
      @ForAll @IntRange(min = 1, max = 8) int smaller) {
    Plane p = Rows.plane(random(seed, height, width));
    Plane q = p.shrink(Math.max(1, width - smaller * 3), Math.max(1, height - smaller * 2));
    assertThat(mean(q)).isCloseTo(mean(p), within(1e-4));
  }

  private static double mean(Plane p) {
    double sum = 0;
    for (float v : p.v) {
      sum += v;
    }
    return sum / p.v.length;
  }
}
