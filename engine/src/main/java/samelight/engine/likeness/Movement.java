package samelight.engine.likeness;

import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * By how much a picture moved from one frame to another, as after a step of the photographer: the
 * turn, the size and the shift under which the two correlate best, found by direct search
 * ([HOOKE61]) from the best of a grid of shifts.
 *
 * @param correlation of the two pictures once they lie on each other, at most 1
 * @param scale size of things in the second picture over their size in the first
 * @param shift distance by which the first picture's middle moved, as a share of the longer side
 */
public record Movement(double correlation, double scale, double shift) {
  /** Pictures that correlate by less have not been laid on each other: nothing is known. */
  private static final double TRUSTED = 0.85;

  /** Share of the first picture that must lie in the second. */
  private static final double LEAST_OVERLAP = 0.4;

  /** Least sum of squared deviations, in square stops, that is more than rounding and noise. */
  private static final double FLAT = 0.01;

  /** Every other pixel of every other line is enough for four unknowns of a blurred picture. */
  private static final int STRIDE = 2;

  /** Shifts are looked through up to this share of the longer side. */
  private static final double REACH = 0.2;

  /** Sizes to begin with, the next only where the one before led nowhere. */
  private static final double[] SIZES = {1, 1.5, 1 / 1.5};

  private static final double[] FIRST_STEPS = {0.1, 0.1, 2, 2};
  private static final int HALVINGS = 4;
  private static final double LEAST_GAIN = 1e-5;
  private static final int MOST_ROUNDS = 12;

  /**
   * Whether the picture moved by no more than this, as far as can be told.
   *
   * @param most share of the longer side by which its middle may have moved
   * @param size how many times as large, or as small, things may have become
   * @return false only where the pictures could be laid on each other and moved by more
   */
  public boolean within(double most, double size) {
    return correlation < TRUSTED || (shift <= most && Math.abs(Math.log(scale)) <= Math.log(size));
  }

  /**
   * Searches.
   *
   * @param a channels of the first picture, rows from the top
   * @param b channels of the second, of the same size
   * @param width of both, in pixels
   * @param height of both, in pixels
   */
  static Movement between(float[][] a, float[][] b, int width, int height) {
    @Nullable Movement best = null;
    for (double size : SIZES) {
      Movement found = from(shifted(a, b, width, height, size), a, b, width, height);
      if (best == null || found.correlation > best.correlation) {
        best = found;
      }
      if (best.correlation >= TRUSTED) {
        break;
      }
    }
    return Objects.requireNonNull(best);
  }

  private static Movement from(double[] at, float[][] a, float[][] b, int width, int height) {
    double[] steps = FIRST_STEPS.clone();
    double best = correlation(a, b, width, height, at);
    for (int halving = 0; halving <= HALVINGS; halving++) {
      boolean better = true;
      for (int round = 0; better && round < MOST_ROUNDS; round++) {
        double before = best;
        for (int i = 0; i < at.length; i++) {
          best = step(a, b, width, height, at, i, steps[i], best);
        }
        better = best > before + LEAST_GAIN;
      }
      for (int i = 0; i < steps.length; i++) {
        steps[i] /= 2;
      }
    }
    return new Movement(best, Math.exp(at[0]), Math.hypot(at[2], at[3]) / Math.max(width, height));
  }

  /** The best of a grid of shifts: logarithm of the size, turn in radians, shift in pixels. */
  private static double[] shifted(float[][] a, float[][] b, int width, int height, double size) {
    int reach = (int) (Math.max(width, height) * REACH);
    double[] best = {Math.log(size), 0, 0, 0};
    double most = correlation(a, b, width, height, best);
    for (int dy = -reach; dy <= reach; dy += STRIDE) {
      for (int dx = -reach; dx <= reach; dx += STRIDE) {
        double[] at = {Math.log(size), 0, dx, dy};
        double found = correlation(a, b, width, height, at);
        if (found > most) {
          most = found;
          best = at;
        }
      }
    }
    return best;
  }

  /** Goes one step to the better side, if there is one. */
  private static double step(
      float[][] a, float[][] b, int width, int height, double[] at, int i, double by, double best) {
    double stood = at[i];
    for (int side = -1; side <= 1; side += 2) {
      at[i] = stood + side * by;
      double found = correlation(a, b, width, height, at);
      if (found > best + LEAST_GAIN) {
        return found;
      }
    }
    at[i] = stood;
    return best;
  }

  /** Of the part of the first picture that lies in the second; -1 where there is too little. */
  private static double correlation(float[][] a, float[][] b, int width, int height, double[] at) {
    float cos = (float) (Math.exp(at[0]) * Math.cos(at[1]));
    float sin = (float) (Math.exp(at[0]) * Math.sin(at[1]));
    float cx = (width - 1) / 2f;
    float cy = (height - 1) / 2f;
    float x0 = (float) (cx - cos * cx + sin * cy + at[2]);
    float y0 = (float) (cy - sin * cx - cos * cy + at[3]);
    double uv = 0;
    double uu = 0;
    double vv = 0;
    for (int p = 0; p < a.length; p++) {
      double su = 0;
      double sv = 0;
      double suu = 0;
      double svv = 0;
      double suv = 0;
      int all = 0;
      int n = 0;
      float[] q = b[p];
      for (int y = 0; y < height; y += STRIDE) {
        for (int x = 0; x < width; x += STRIDE) {
          all++;
          float bx = cos * x - sin * y + x0;
          float by = sin * x + cos * y + y0;
          if (!(bx >= 0 && by >= 0 && bx < width - 1 && by < height - 1)) {
            continue;
          }
          int ix = (int) bx;
          int iy = (int) by;
          int i = iy * width + ix;
          float fx = bx - ix;
          float top = q[i] + fx * (q[i + 1] - q[i]);
          float low = q[i + width] + fx * (q[i + width + 1] - q[i + width]);
          float v = top + (by - iy) * (low - top);
          float u = a[p][y * width + x];
          n++;
          su += u;
          sv += v;
          suu += u * u;
          svv += v * v;
          suv += u * v;
        }
      }
      if (n < LEAST_OVERLAP * all) {
        return -1;
      }
      uv += Likeness.WEIGHTS[p] * (suv - su * sv / n);
      uu += Likeness.WEIGHTS[p] * (suu - su * su / n);
      vv += Likeness.WEIGHTS[p] * (svv - sv * sv / n);
    }
    return Math.min(uu, vv) < FLAT ? -1 : uv / Math.sqrt(uu * vv);
  }
}
