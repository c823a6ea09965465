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
    for (int y = 0; y < height; y++) {
      int row = y * width;
      double sum = 0;
      for (int x = 0; x <= Math.min(r, width - 1); x++) {
        sum += v[row + x];
      }
      for (int x = 0; x < width; x++) {
        int low = Math.max(0, x - r);
        int high = Math.min(width - 1, x + r);
        out.v[row + x] = (float) (sum / (high - low + 1));
        if (x + r + 1 < width) {
          sum += v[row + x + r + 1];
        }
        if (x - r >= 0) {
          sum -= v[row + x - r];
        }
      }
    }
    return out;
  }

  private Plane boxColumns(int r) {
    Plane out = new Plane(width, height);
    double[] sum = new double[width];
    for (int y = 0; y <= Math.min(r, height - 1); y++) {
      for (int x = 0; x < width; x++) {
        sum[x] += v[y * width + x];
      }
    }
    for (int y = 0; y < height; y++) {
      int count = Math.min(height - 1, y + r) - Math.max(0, y - r) + 1;
      for (int x = 0; x < width; x++) {
        out.v[y * width + x] = (float) (sum[x] / count);
        if (y + r + 1 < height) {
          sum[x] += v[(y + r + 1) * width + x];
        }
        if (y - r >= 0) {
          sum[x] -= v[(y - r) * width + x];
        }
      }
    }
    return out;
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
    Plane rows = new Plane(w, height);
    double fx = (double) width / w;
    for (int x = 0; x < w; x++) {
      double from = x * fx;
      double to = from + fx;
      for (int y = 0; y < height; y++) {
        double s = 0;
        for (int i = (int) from; i < Math.min(width, Math.ceil(to - 1e-9)); i++) {
          s += (Math.min(to, i + 1) - Math.max(from, i)) * v[y * width + i];
        }
        rows.v[y * w + x] = (float) (s / fx);
      }
    }
    Plane out = new Plane(w, h);
    double fy = (double) height / h;
    for (int y = 0; y < h; y++) {
      double from = y * fy;
      double to = from + fy;
      for (int i = (int) from; i < Math.min(height, Math.ceil(to - 1e-9)); i++) {
        float part = (float) ((Math.min(to, i + 1) - Math.max(from, i)) / fy);
        for (int x = 0; x < w; x++) {
          out.v[y * w + x] += part * rows.v[i * w + x];
        }
      }
    }
    return out;
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
