package samelight.engine.likeness;

import samelight.engine.frame.SmallImage;

/**
 * How alike two pictures look to somebody who has to choose between them: correlation of blurred
 * log exposure and of its two colour differences, at the best of a few small shifts ([LEWIS95] by
 * direct sums). Unlike {@link Registration} it forgives what moves against the background, as when
 * the photographer takes a step.
 *
 * <p>The mean of two readings of one picture of 45 pixels: blurred by 1 pixel with shifts of up to
 * 3 pixels that cost, and by 1.5 pixels with shifts of up to 2 that don't. Colour differences count
 * twice. Sizes and weights were chosen on one labelled sequence.
 */
public final class Likeness {
  private static final int LONG_SIDE = 45;
  static final double[] WEIGHTS = {1, 2, 2};
  private static final int DARKEST = 8;

  private static final double FINE_SIGMA = 1;
  private static final int FINE_SHIFT = 3;
  private static final double FINE_COST = 0.1 / 9;
  private static final double COARSE_SIGMA = 1.5;
  private static final int COARSE_SHIFT = 2;

  private final int width;
  private final int height;
  private final float[][] fine;
  private final float[][] coarse;

  private Likeness(int width, int height, float[][] fine, float[][] coarse) {
    this.width = width;
    this.height = height;
    this.fine = fine;
    this.coarse = coarse;
  }

  /** Prepares a picture. */
  public static Likeness of(SmallImage image) {
    int w = image.width();
    int h = image.height();
    byte[] rgb = image.rgb();
    float[][] planes = new float[3][w * h];
    for (int i = 0; i < w * h; i++) {
      double r = log(rgb[3 * i]);
      double g = log(rgb[3 * i + 1]);
      double b = log(rgb[3 * i + 2]);
      planes[0][i] = (float) ((r + g + b) / 3);
      planes[1][i] = (float) (r - g);
      planes[2][i] = (float) (b - g);
    }
    double scale = Math.min(1, (double) LONG_SIDE / Math.max(w, h));
    int tw = Math.max(1, (int) Math.round(w * scale));
    int th = Math.max(1, (int) Math.round(h * scale));
    float[][] fine = new float[3][];
    float[][] coarse = new float[3][];
    for (int p = 0; p < 3; p++) {
      float[] small = shrink(planes[p], w, h, tw, th);
      fine[p] = blurred(small, tw, th, FINE_SIGMA);
      coarse[p] = blurred(small, tw, th, COARSE_SIGMA);
    }
    return new Likeness(tw, th, fine, coarse);
  }

  private static double log(byte code) {
    return Math.log(Math.max(DARKEST, code & 0xFF) / 255.0) / Math.log(2);
  }

  /**
   * How alike.
   *
   * @return 1 for the same picture, about 0 for any two; -1 where their shapes differ
   */
  public double to(Likeness other) {
    if (width != other.width || height != other.height) {
      return -1;
    }
    return (best(fine, other.fine, FINE_SHIFT, FINE_COST)
            + best(coarse, other.coarse, COARSE_SHIFT, 0))
        / 2;
  }

  /**
   * By how much the other picture moved against this one.
   *
   * @throws IllegalArgumentException if the shapes of the two differ
   */
  public Movement movementTo(Likeness other) {
    if (width != other.width || height != other.height) {
      throw new IllegalArgumentException(
          String.format(
              "pictures of one shape needed, not %d x %d and %d x %d",
              width, height, other.width, other.height));
    }
    return Movement.between(fine, other.fine, width, height);
  }

  private double best(float[][] a, float[][] b, int shift, double cost) {
    double best = -1;
    for (int dy = -shift; dy <= shift; dy++) {
      for (int dx = -shift; dx <= shift; dx++) {
        best = Math.max(best, correlation(a, b, dx, dy) - cost * (dx * dx + dy * dy));
      }
    }
    return best;
  }

  private double correlation(float[][] a, float[][] b, int dx, int dy) {
    int w = width - Math.abs(dx);
    int h = height - Math.abs(dy);
    if (w < 2 || h < 2) {
      return -1;
    }
    double ab = 0;
    double aa = 0;
    double bb = 0;
    for (int p = 0; p < WEIGHTS.length; p++) {
      double sa = 0;
      double sb = 0;
      double saa = 0;
      double sbb = 0;
      double sab = 0;
      for (int y = 0; y < h; y++) {
        int i = (y + Math.max(0, dy)) * width + Math.max(0, dx);
        int j = (y + Math.max(0, -dy)) * width + Math.max(0, -dx);
        for (int end = i + w; i < end; i++, j++) {
          float u = a[p][i];
          float v = b[p][j];
          sa += u;
          sb += v;
          saa += u * u;
          sbb += v * v;
          sab += u * v;
        }
      }
      double n = (double) w * h;
      ab += WEIGHTS[p] * (sab - sa * sb / n);
      aa += WEIGHTS[p] * (saa - sa * sa / n);
      bb += WEIGHTS[p] * (sbb - sb * sb / n);
    }
    return ab / Math.sqrt(aa * bb + 1e-9);
  }

  /** Means over areas. */
  private static float[] shrink(float[] in, int w, int h, int tw, int th) {
    if (w == tw && h == th) {
      return in;
    }
    Plane plane = new Plane(w, h);
    System.arraycopy(in, 0, plane.v, 0, in.length);
    return plane.shrink(tw, th).v;
  }

  private static float[] blurred(float[] in, int w, int h, double sigma) {
    int radius = (int) Math.ceil(3 * sigma);
    float[] kernel = new float[2 * radius + 1];
    double sum = 0;
    for (int i = -radius; i <= radius; i++) {
      sum += Math.exp(-i * i / (2 * sigma * sigma));
    }
    for (int i = -radius; i <= radius; i++) {
      kernel[i + radius] = (float) (Math.exp(-i * i / (2 * sigma * sigma)) / sum);
    }
    float[] across = new float[in.length];
    float[] out = new float[in.length];
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        float v = 0;
        for (int k = -radius; k <= radius; k++) {
          v += kernel[k + radius] * in[y * w + Math.max(0, Math.min(w - 1, x + k))];
        }
        across[y * w + x] = v;
      }
    }
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        float v = 0;
        for (int k = -radius; k <= radius; k++) {
          v += kernel[k + radius] * across[Math.max(0, Math.min(h - 1, y + k)) * w + x];
        }
        out[y * w + x] = v;
      }
    }
    return out;
  }
}
