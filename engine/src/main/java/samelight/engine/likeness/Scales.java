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

  private final Plane exposure;
  private final @Nullable Plane[] level = new Plane[LEVELS];
  private final @Nullable Spectrum[] flat = new Spectrum[LEVELS];
  private final @Nullable Spectrum[] square = new Spectrum[LEVELS];
  private final float[] @Nullable [] energy = new float[LEVELS][];
  private final float[] @Nullable [] mirrored = new float[LEVELS][];

  /** A transposed, bit-reversed spectrum as {@link Fourier} leaves it. */
  static final class Spectrum {
    final float[][] re;
    final float[][] im;

    Spectrum(int rows) {
      re = new float[NX][rows];
      im = new float[NX][rows];
    }
  }

  /** Transforms and working space of one thread. */
  static final class Desk {
    private static final ThreadLocal<Desk> FLAT = ThreadLocal.withInitial(() -> new Desk(32));
    private static final ThreadLocal<Desk> SQUARE = ThreadLocal.withInitial(() -> new Desk(64));

    final int rows;
    final Fourier fourier;
    final float[][] re;
    final float[][] im;
    final float[][] productRe;
    final float[][] productIm;

    private Desk(int rows) {
      this.rows = rows;
      fourier = new Fourier(NX, rows);
      re = new float[rows][NX];
      im = new float[rows][NX];
      productRe = new float[NX][rows];
      productIm = new float[NX][rows];
    }

    /** Two views that lie flat need 32 rows, others 64. */
    static Desk of(Scales a, Scales b) {
      return of(a.level(0).height <= 21 && b.level(0).height <= 21 ? 32 : 64);
    }

    static Desk of(int rows) {
      return rows == 32 ? FLAT.get() : SQUARE.get();
    }
  }

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

  /** Transform of a level, padded with zeros to {@link #NX} x {@code rows}. */
  Spectrum spectrum(int k, int rows) {
    @Nullable Spectrum[] known = rows == 32 ? flat : square;
    Spectrum s = known[k];
    if (s == null) {
      s = new Spectrum(rows);
      Desk desk = Desk.of(rows);
      Plane p = level(k);
      for (int y = 0; y < rows; y++) {
        java.util.Arrays.fill(desk.re[y], 0);
        java.util.Arrays.fill(desk.im[y], 0);
        if (y < p.height) {
          System.arraycopy(p.v, y * p.width, desk.re[y], 0, p.width);
        }
      }
      desk.fourier.forward(desk.re, desk.im, s.re, s.im);
      known[k] = s;
    }
    return s;
  }

  /** Summed squares: entry (y, x) of (height + 1) x (width + 1) is the sum above and left of it. */
  float[] energy(int k) {
    return sums(energy, k, false);
  }

  /** The same of the mirrored level: sums above and right. */
  float[] mirrored(int k) {
    return sums(mirrored, k, true);
  }

  private float[] sums(float[] @Nullable [] known, int k, boolean mirror) {
    float[] t = known[k];
    if (t == null) {
      Plane p = level(k);
      int w = p.width + 1;
      t = new float[w * (p.height + 1)];
      for (int y = 0; y < p.height; y++) {
        float row = 0;
        for (int x = 0; x < p.width; x++) {
          float v = p.v[y * p.width + (mirror ? p.width - 1 - x : x)];
          row += v * v;
          t[(y + 1) * w + x + 1] = t[y * w + x + 1] + row;
        }
      }
      known[k] = t;
    }
    return t;
  }
}
