package samelight.engine.likeness;

/** One channel of a small picture, rows from the top. */
final class Plane {
  final int width;
  final int height;
  final float[] v;

  Plane(int width, int height) {
    this(width, height, new float[width * height]);
  }

  Plane(int width, int height, float[] v) {
    this.width = width;
    this.height = height;
    this.v = v;
  }

  /**
   * Between four pixels: by bilinear interpolation.
   *
   * @param i index of the upper left one
   * @param fx how far right of it, 0 to 1
   * @param fy how far below it, 0 to 1
   */
  float between(int i, float fx, float fy) {
    float top = v[i] + fx * (v[i + 1] - v[i]);
    float low = v[i + width] + fx * (v[i + width + 1] - v[i + width]);
    return top + fy * (low - top);
  }

  /** Area average to another, smaller size. */
  Plane shrink(int w, int h) {
    if (w == width && h == height) {
      return this;
    }
    float[][] low = new float[h][width];
    float[] row = new float[width];
    double fy = (double) height / h;
    for (int y = 0; y < h; y++) {
      double from = y * fy;
      double to = from + fy;
      for (int i = (int) from; i < Math.min(height, Math.ceil(to - 1e-9)); i++) {
        float share = (float) ((Math.min(to, i + 1) - Math.max(from, i)) / fy);
        System.arraycopy(v, i * width, row, 0, width);
        Rows.addPart(row, share, low[y]);
      }
    }
    return narrowed(low, w);
  }

  private static Plane narrowed(float[][] rows, int w) {
    int width = rows[0].length;
    Plane out = new Plane(w, rows.length);
    double fx = (double) width / w;
    int most = (int) Math.ceil(fx) + 1;
    int[] first = new int[w];
    float[] share = new float[w * most];
    for (int x = 0; x < w; x++) {
      double from = x * fx;
      double to = from + fx;
      // a pixel whose share is 0 may be looked at, but it must be there
      first[x] = Math.max(0, Math.min((int) from, width - most));
      for (int i = 0; i < Math.min(most, width); i++) {
        double part = Math.min(to, first[x] + i + 1) - Math.max(from, first[x] + i);
        share[x * most + i] = (float) (Math.max(0, part) / fx);
      }
    }
    int taps = Math.min(most, width);
    for (int y = 0; y < rows.length; y++) {
      float[] row = rows[y];
      for (int x = 0; x < w; x++) {
        float sum = 0;
        for (int i = 0; i < taps; i++) {
          sum += share[x * most + i] * row[first[x] + i];
        }
        out.v[y * w + x] = sum;
      }
    }
    return out;
  }

  /**
   * Local contrast normalised: less the local mean, over the local deviation. What is left is
   * texture; exposure, the slope of a tone curve and slow shading are gone.
   */
  Plane localContrast(int meanRadius, int deviationRadius, float floor) {
    return Rows.plane(Rows.localContrast(Rows.of(this), meanRadius, deviationRadius, floor));
  }
}
