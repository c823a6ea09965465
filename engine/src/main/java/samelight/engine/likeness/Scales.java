package samelight.engine.likeness;

import org.jspecify.annotations.Nullable;

/**
 * Coarse texture of a view at a ladder of smaller sizes, with the transforms for correlation. All
 * is made when first asked for.
 */
final class Scales {
  static final int LONG = 32;

  /** Width of the transform: the overlap asked for is half of the smaller view at least. */
  static final int NX = 64;

  /** Steps of the ladder: each size is 2^-0.11 of the one before, down to 0.43. */
  static final int LEVELS = 12;

  static final double RATIO = Math.pow(2, -0.11);

  private static final ThreadLocal<Fourier> FLAT =
      ThreadLocal.withInitial(() -> new Fourier(NX, 32));
  private static final ThreadLocal<Fourier> SQUARE =
      ThreadLocal.withInitial(() -> new Fourier(NX, 64));

  private final Plane exposure;
  private final @Nullable Plane[] level = new Plane[LEVELS];
  private final float[] @Nullable [] flat = new float[LEVELS][];
  private final float[] @Nullable [] square = new float[LEVELS][];
  private final double[] @Nullable [] energy = new double[LEVELS][];

  Scales(Plane exposure) {
    double s = (double) LONG / Math.max(exposure.width, exposure.height);
    // halving first makes the ladder cheap; the texture looked at is coarser than that
    this.exposure =
        s < 0.5 ? exposure.shrink((exposure.width + 1) / 2, (exposure.height + 1) / 2) : exposure;
  }

  Plane level(int k) {
    Plane p = level[k];
    if (p == null) {
      double s = Math.min(1, (double) LONG / Math.max(exposure.width, exposure.height));
      s *= Math.pow(RATIO, k);
      int w = Math.max(4, (int) Math.round(exposure.width * s));
      int h = Math.max(4, (int) Math.round(exposure.height * s));
      p =
          exposure
              .shrink(Math.min(w, exposure.width), Math.min(h, exposure.height))
              .localContrast(1, 3, 0.1f);
      level[k] = p;
    }
    return p;
  }

  /** Rows of the transform that two views need: 32 if both lie flat. */
  static int rows(Scales a, Scales b) {
    return a.level(0).height <= 21 && b.level(0).height <= 21 ? 32 : 64;
  }

  static Fourier fourier(int rows) {
    return rows == 32 ? FLAT.get() : SQUARE.get();
  }

  /** Transform of a level, padded with zeros to {@link #NX} x {@code rows}. */
  float[] spectrum(int k, int rows) {
    float[] @Nullable [] known = rows == 32 ? flat : square;
    float[] z = known[k];
    if (z == null) {
      z = new float[NX * rows * 2];
      Plane p = level(k);
      for (int y = 0; y < p.height; y++) {
        for (int x = 0; x < p.width; x++) {
          z[(y * NX + x) * 2] = p.v[y * p.width + x];
        }
      }
      fourier(rows).forward(z);
      known[k] = z;
    }
    return z;
  }

  /** Summed squares: entry (y, x) of (height + 1) x (width + 1) is the sum above and left of it. */
  double[] energy(int k) {
    double[] t = energy[k];
    if (t == null) {
      Plane p = level(k);
      int w = p.width + 1;
      t = new double[w * (p.height + 1)];
      for (int y = 0; y < p.height; y++) {
        double row = 0;
        for (int x = 0; x < p.width; x++) {
          float v = p.v[y * p.width + x];
          row += v * v;
          t[(y + 1) * w + x + 1] = t[y * w + x + 1] + row;
        }
      }
      energy[k] = t;
    }
    return t;
  }

  static double sum(double[] table, int w, int x0, int y0, int x1, int y1) {
    return table[y1 * w + x1] - table[y0 * w + x1] - table[y1 * w + x0] + table[y0 * w + x0];
  }
}
