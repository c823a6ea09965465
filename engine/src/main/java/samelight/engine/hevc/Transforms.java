package samelight.engine.hevc;

/** Inverse transforms ([H.265], 8.6.4.2). */
final class Transforms {
  private static final int FIRST_SHIFT = 7;
  private static final int LEAST = -32768;
  private static final int MOST = 32767;

  /** 64 sqrt(2) cos(i pi / 64), as the standard's matrix has it; the first is 64. */
  private static final int[] WAVE = {
    64, 90, 90, 90, 89, 88, 87, 85, 83, 82, 80, 78, 75, 73, 70, 67, 64, 61, 57, 54, 50, 46, 43, 38,
    36, 31, 25, 22, 18, 13, 9, 4, 0
  };

  /** By log2 of the side: for each frequency the first half of its wave. */
  private static final int[][] HALF_WAVES = new int[6][];

  private static final int[] SINE = {
    29, 55, 74, 84, 74, 74, 0, -74, 84, -29, -74, 55, 55, -84, 74, -29
  };

  static {
    for (int log2 = 2; log2 < 6; log2++) {
      int n = 1 << log2;
      int[] waves = new int[n * n / 2];
      for (int k = 0; k < n; k++) {
        for (int i = 0; i < n / 2; i++) {
          waves[k * n / 2 + i] = wave(((2 * i + 1) * k) << (5 - log2));
        }
      }
      HALF_WAVES[log2] = waves;
    }
  }

  private final int[] between = new int[32 * 32];
  private final int[] even = new int[16];
  private final int[] odd = new int[16];

  private static int wave(int angle) {
    int a = angle & 127;
    a = a > 64 ? 128 - a : a;
    return a <= 32 ? WAVE[a] : -WAVE[64 - a];
  }

  /**
   * The inverse cosine transform.
   *
   * @param in coefficients, rows from the top
   * @param columns how many from the left may be other than 0
   * @param rows how many from the top may be
   * @param shift of the second pass
   */
  void cosine(int[] in, int log2, int columns, int rows, int shift, int[] out) {
    int n = 1 << log2;
    for (int x = 0; x < columns; x++) {
      pass(in, x, n, rows, log2);
      for (int i = 0; i < n / 2; i++) {
        between[i * n + x] = clipped((even[i] + odd[i] + (1 << (FIRST_SHIFT - 1))) >> FIRST_SHIFT);
        between[(n - 1 - i) * n + x] =
            clipped((even[i] - odd[i] + (1 << (FIRST_SHIFT - 1))) >> FIRST_SHIFT);
      }
    }
    int round = 1 << (shift - 1);
    for (int y = 0; y < n; y++) {
      pass(between, y * n, 1, columns, log2);
      int first = y * n;
      int last = first + n - 1;
      for (int i = 0; i < n / 2; i++) {
        out[first + i] = (even[i] + odd[i] + round) >> shift;
        out[last - i] = (even[i] - odd[i] + round) >> shift;
      }
    }
  }

  /** Sums waves of even and of odd frequencies: they mirror with the same and the other sign. */
  private void pass(int[] in, int from, int step, int count, int log2) {
    int half = 1 << (log2 - 1);
    int[] waves = HALF_WAVES[log2];
    for (int i = 0; i < half; i++) {
      even[i] = 0;
      odd[i] = 0;
    }
    for (int k = 0, at = from; k < count; k++, at += step) {
      int v = in[at];
      if (v != 0) {
        int[] sums = (k & 1) == 0 ? even : odd;
        int w = k << (log2 - 1);
        for (int i = 0; i < half; i++) {
          sums[i] += v * waves[w + i];
        }
      }
    }
  }

  /** The inverse sine transform, of 4 x 4. */
  void sine(int[] in, int shift, int[] out) {
    for (int x = 0; x < 4; x++) {
      for (int y = 0; y < 4; y++) {
        int sum = 0;
        for (int k = 0; k < 4; k++) {
          sum += SINE[4 * k + y] * in[4 * k + x];
        }
        between[4 * y + x] = clipped((sum + (1 << (FIRST_SHIFT - 1))) >> FIRST_SHIFT);
      }
    }
    for (int y = 0; y < 4; y++) {
      for (int x = 0; x < 4; x++) {
        int sum = 0;
        for (int k = 0; k < 4; k++) {
          sum += SINE[4 * k + x] * between[4 * y + k];
        }
        out[4 * y + x] = (sum + (1 << (shift - 1))) >> shift;
      }
    }
  }

  private static int clipped(int v) {
    return Math.max(LEAST, Math.min(MOST, v));
  }
}
