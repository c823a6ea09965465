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

  /** Mean over a square of 2r+1 pixels, shrunk at the borders; linear in the number of pixels. */
  Plane boxMean(int r) {
    return boxRows(r).boxColumns(r);
  }

  private Plane boxRows(int r) {
    Plane out = new Plane(width, height);
    float[] sum = new float[width];
    float[] share = new float[width];
    for (int x = 0; x < width; x++) {
      share[x] = 1f / (Math.min(width - 1, x + r) - Math.max(0, x - r) + 1);
    }
    for (int y = 0; y < height; y++) {
      int row = y * width;
      System.arraycopy(v, row, sum, 0, width);
      for (int d = 1; d <= Math.min(r, width - 1); d++) {
        add(v, row + d, sum, 0, width - d);
        add(v, row, sum, d, width);
      }
      for (int x = 0; x < width; x++) {
        out.v[row + x] = sum[x] * share[x];
      }
    }
    return out;
  }

  /** Adds to what is in {@code sum} from {@code low} to before {@code high}. */
  private static void add(float[] v, int from, float[] sum, int low, int high) {
    int shift = from - low;
    for (int x = low; x < high; x++) {
      sum[x] += v[x + shift];
    }
  }

  private Plane boxColumns(int r) {
    Plane out = new Plane(width, height);
    float[] sum = new float[width];
    for (int y = 0; y <= Math.min(r, height - 1); y++) {
      add(v, y * width, sum, 0, width);
    }
    for (int y = 0; y < height; y++) {
      int count = Math.min(height - 1, y + r) - Math.max(0, y - r) + 1;
      part(sum, 1f / count, out.v, y * width);
      if (y + r + 1 < height) {
        add(v, (y + r + 1) * width, sum, 0, width);
      }
      if (y - r >= 0) {
        take(v, (y - r) * width, sum);
      }
    }
    return out;
  }

  private static void take(float[] v, int from, float[] sum) {
    for (int x = 0; x < sum.length; x++) {
      sum[x] -= v[x + from];
    }
  }

  private static void part(float[] sum, float share, float[] out, int to) {
    for (int x = 0; x < sum.length; x++) {
      out[x + to] = sum[x] * share;
    }
  }

  /** Separable Gaussian, borders replicated. */
  Plane gaussian(double sigma) {
    if (sigma < 0.1) {
      return this;
    }
    int r = Math.max(1, (int) Math.ceil(2.5 * sigma));
    float[] k = new float[2 * r + 1];
    double total = 0;
    for (int i = -r; i <= r; i++) {
      k[i + r] = (float) Math.exp(-0.5 * i * i / (sigma * sigma));
      total += k[i + r];
    }
    for (int i = 0; i < k.length; i++) {
      k[i] /= (float) total;
    }
    Plane mid = new Plane(width, height);
    for (int y = 0; y < height; y++) {
      for (int x = 0; x < width; x++) {
        float s = 0;
        for (int i = -r; i <= r; i++) {
          s += k[i + r] * v[y * width + Math.min(width - 1, Math.max(0, x + i))];
        }
        mid.v[y * width + x] = s;
      }
    }
    Plane out = new Plane(width, height);
    for (int y = 0; y < height; y++) {
      for (int x = 0; x < width; x++) {
        float s = 0;
        for (int i = -r; i <= r; i++) {
          s += k[i + r] * mid.v[Math.min(height - 1, Math.max(0, y + i)) * width + x];
        }
        out.v[y * width + x] = s;
      }
    }
    return out;
  }

  /** Area average to another, smaller size. */
  Plane shrink(int w, int h) {
    if (w == width && h == height) {
      return this;
    }
    Plane low = new Plane(width, h);
    double fy = (double) height / h;
    for (int y = 0; y < h; y++) {
      double from = y * fy;
      double to = from + fy;
      for (int i = (int) from; i < Math.min(height, Math.ceil(to - 1e-9)); i++) {
        float share = (float) ((Math.min(to, i + 1) - Math.max(from, i)) / fy);
        addPart(v, i * width, share, low.v, y * width, width);
      }
    }
    return low.narrowed(w);
  }

  private Plane narrowed(int w) {
    Plane out = new Plane(w, height);
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
    for (int y = 0; y < height; y++) {
      for (int x = 0; x < w; x++) {
        int at = y * width + first[x];
        float sum = 0;
        for (int i = 0; i < taps; i++) {
          sum += share[x * most + i] * v[at + i];
        }
        out.v[y * w + x] = sum;
      }
    }
    return out;
  }

  private static void addPart(float[] v, int from, float share, float[] sum, int to, int n) {
    for (int x = 0; x < n; x++) {
      sum[x + to] += share * v[x + from];
    }
  }

  /**
   * Local contrast normalised: less the local mean, over the local deviation. What is left is
   * texture; exposure, the slope of a tone curve and slow shading are gone.
   */
  Plane localContrast(int meanRadius, int deviationRadius, float floor) {
    Plane mean = boxMean(meanRadius).boxMean(meanRadius);
    Plane flat = new Plane(width, height);
    Plane square = new Plane(width, height);
    for (int i = 0; i < v.length; i++) {
      float d = v[i] - mean.v[i];
      flat.v[i] = d;
      square.v[i] = d * d;
    }
    Plane variance = square.boxMean(deviationRadius).boxMean(deviationRadius);
    for (int i = 0; i < v.length; i++) {
      flat.v[i] /= (float) Math.sqrt(Math.max(0, variance.v[i])) + floor;
    }
    return flat;
  }
}
