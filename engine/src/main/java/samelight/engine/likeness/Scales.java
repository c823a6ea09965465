package samelight.engine.likeness;

import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Coarse texture of a view at a ladder of smaller sizes, with all that correlation wants of it. All
 * is made when first asked for.
 */
final class Scales {
  static final int LONG = 32;

  /** Width of the transform: the overlap asked for is half of the smaller view at least. */
  static final int NX = 64;

  /** Steps of the ladder: each size is 2^-0.11 of the one before, down to 0.43. */
  static final int LEVELS = 12;

  /**
   * Levels that are transformed together: as many as make the rows long, few enough that all stays
   * near the processor.
   */
  private static final int TOGETHER = 6;

  private static final double RATIO = Math.pow(2, -0.11);

  private final Plane exposure;
  private final Shape shape;
  private final int levels;
  private final int viewWidth;
  private final @Nullable Plane[] level;
  private @Nullable Spectra flat;
  private @Nullable Spectra square;
  private final Map<Shape, Weights> weights = new HashMap<>();

  /** Sizes of a view's levels. */
  static final class Shape {
    private final int[] widths = new int[LEVELS];
    private final int[] heights = new int[LEVELS];

    /**
     * Of a view.
     *
     * @param width before it is made coarse, in pixels, 1 or more
     * @param height 1 or more
     */
    Shape(int width, int height) {
      double s = Math.min(1, (double) LONG / Math.max(width, height));
      for (int k = 0; k < LEVELS; k++) {
        double size = s * Math.pow(RATIO, k);
        widths[k] = Math.min(width, Math.max(4, (int) Math.round(width * size)));
        heights[k] = Math.min(height, Math.max(4, (int) Math.round(height * size)));
      }
    }

    int width(int k) {
      return widths[k];
    }

    int height(int k) {
      return heights[k];
    }

    @Override
    public boolean equals(Object o) {
      return o instanceof Shape s
          && Arrays.equals(widths, s.widths)
          && Arrays.equals(heights, s.heights);
    }

    @Override
    public int hashCode() {
      return 4096 * widths[0] + heights[0];
    }
  }

  /** Transposed, bit-reversed spectra as {@link Fourier} leaves them, padded with zeros. */
  static final class Spectra {
    /** Real parts, of the levels of each part of the ladder side by side. */
    final float[][][] re;

    /** Imaginary parts. */
    final float[][][] im;

    private Spectra(int parts, int width) {
      re = new float[parts][NX][width];
      im = new float[parts][NX][width];
    }
  }

  /**
   * What correlations are multiplied by to be normalised, as rows of {@link Desk} have them: 0
   * where too little overlaps, and no row where it does at no level.
   */
  static final class Weights {
    /**
     * With the other view's levels laid on this one's largest: root of the number of common pixels
     * over the root of the energy that this one has there.
     */
    final float[][][] large;

    /**
     * With this view's levels laid on the other's largest: 1 over the root of the energy that this
     * one has there.
     */
    final float[][][] small;

    private Weights(int parts, Desk desk, int width) {
      large = new float[parts][desk.rows][];
      small = new float[parts][desk.rows][];
      for (int part = 0; part < parts; part++) {
        for (int y = 0; y < desk.rows; y++) {
          if (desk.used[y]) {
            large[part][y] = new float[width];
            small[part][y] = new float[width];
          }
        }
      }
    }
  }

  /**
   * Of one channel of a view.
   *
   * @param levels how many sizes are compared: 1 or {@link #LEVELS}
   */
  Scales(Plane exposure, int levels) {
    this.levels = levels;
    this.viewWidth = exposure.width;
    this.level = new Plane[levels];
    double s = (double) LONG / Math.max(exposure.width, exposure.height);
    // halving first makes the ladder cheap; the texture looked at is coarser than that
    this.exposure =
        s < 0.5 ? exposure.shrink((exposure.width + 1) / 2, (exposure.height + 1) / 2) : exposure;
    this.shape = new Shape(this.exposure.width, this.exposure.height);
  }

  int levels() {
    return levels;
  }

  /** Levels that are transformed together, by which {@link #levels} can be divided. */
  static int together(int levels) {
    return Math.min(levels, TOGETHER);
  }

  /** Width of a level, in widths of the view. */
  double ratio(int k) {
    return (double) shape.width(k) / viewWidth;
  }

  Shape shape() {
    return shape;
  }

  private Plane level(int k) {
    Plane p = level[k];
    if (p == null) {
      p = exposure.shrink(shape.width(k), shape.height(k)).localContrast(1, 3, 0.1f);
      level[k] = p;
    }
    return p;
  }

  /** Transforms of all levels, of {@link #NX} x {@code rows}. */
  Spectra spectra(int rows) {
    Spectra known = rows == Desk.FLAT ? flat : square;
    if (known == null) {
      known = transformed(rows);
      if (rows == Desk.FLAT) {
        flat = known;
      } else {
        square = known;
      }
    }
    return known;
  }

  private Spectra transformed(int rows) {
    int n = together(levels);
    int parts = Math.floorDiv(levels, n);
    Spectra s = new Spectra(parts, n * rows);
    Fourier fourier = new Fourier(NX, rows);
    for (int part = 0; part < parts; part++) {
      float[][] pictures = new float[rows][n * NX];
      for (int i = 0; i < n; i++) {
        Plane p = level(part * n + i);
        for (int y = 0; y < p.height; y++) {
          System.arraycopy(p.v, y * p.width, pictures[y], i * NX, p.width);
        }
      }
      fourier.forward(pictures, new float[rows][n * NX], s.re[part], s.im[part]);
    }
    return s;
  }

  /** What the normalised correlation with a view of some shape wants of this one. */
  Weights weights(Shape other) {
    Weights known = weights.get(other);
    if (known == null) {
      known = weighed(other);
      weights.put(other, known);
    }
    return known;
  }

  private Weights weighed(Shape other) {
    Desk desk = Desk.of(shape, other, levels);
    int n = together(levels);
    int parts = Math.floorDiv(levels, n);
    Weights out = new Weights(parts, desk, n * desk.span);
    float[] whole = sums(level(0));
    for (int k = 0; k < levels; k++) {
      float[][] large = out.large[Math.floorDiv(k, n)];
      float[][] small = out.small[Math.floorDiv(k, n)];
      Overlap on = Overlap.of(shape, other, k);
      for (int y = on.top(); y <= on.bottom(); y++) {
        on.large(whole, y, large[y & (desk.rows - 1)], desk.column(k, on.left()));
      }
      Overlap under = Overlap.of(other, shape, k);
      float[] level = sums(level(k));
      for (int y = under.top(); y <= under.bottom(); y++) {
        under.small(level, y, small[y & (desk.rows - 1)], desk.column(k, under.left()));
      }
    }
    return out;
  }

  /** Summed squares: entry (y, x) of (height + 1) x (width + 1) is the sum above and left of it. */
  private static float[] sums(Plane p) {
    int w = p.width + 1;
    float[] t = new float[w * (p.height + 1)];
    for (int y = 0; y < p.height; y++) {
      float row = 0;
      for (int x = 0; x < p.width; x++) {
        float v = p.v[y * p.width + x];
        row += v * v;
        t[(y + 1) * w + x + 1] = t[y * w + x + 1] + row;
      }
    }
    return t;
  }
}
