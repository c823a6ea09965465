package samelight.engine.likeness;

import org.jspecify.annotations.Nullable;

/** Coarse texture of a view at a ladder of smaller sizes, with the transforms for correlation. */
final class Scales {
  /** Size of the transform; views are at most {@value #LONG} pixels on a side. */
  static final int N = 64;

  static final int LONG = 32;

  /** Steps of the ladder: each size is 2^-0.08 of the one before, down to 0.435. */
  static final int LEVELS = 16;

  static final double RATIO = Math.pow(2, -0.08);

  private static final ThreadLocal<Fourier> FOURIER =
      ThreadLocal.withInitial(() -> new Fourier(N, N));

  final Plane[] level = new Plane[LEVELS];
  private final float[] @Nullable [] spectrum = new float[LEVELS][];
  private final double[] @Nullable [] energy = new double[LEVELS][];

  Scales(Plane exposure) {
    double scale = (double) LONG / Math.max(exposure.width, exposure.height);
    for (int k = 0; k < LEVELS; k++) {
      double s = scale * Math.pow(RATIO, k);
      int w = Math.max(4, (int) Math.round(exposure.width * s));
      int h = Math.max(4, (int) Math.round(exposure.height * s));
      if (w > exposure.width || h > exposure.height) {
        w = Math.min(w, exposure.width);
        h = Math.min(h, exposure.height);
      }
      level[k] = exposure.shrink(w, h).localContrast(1, 3, 0.1f);
    }
  }

  static Fourier fourier() {
    return FOURIER.get();
  }

  /** Transform of a level, padded with zeros. */
  float[] spectrum(int k) {
    float[] z = spectrum[k];
    if (z == null) {
      z = new float[N * N * 2];
      Plane p = level[k];
      for (int y = 0; y < p.height; y++) {
        for (int x = 0; x < p.width; x++) {
          z[(y * N + x) * 2] = p.v[y * p.width + x];
        }
      }
      FOURIER.get().forward(z);
      spectrum[k] = z;
    }
    return z;
  }

  /** Summed squares: entry (y, x) of (height + 1) x (width + 1) is the sum above and left of it. */
  double[] energy(int k) {
    double[] t = energy[k];
    if (t == null) {
      Plane p = level[k];
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
