package samelight.engine.testing;

import java.util.Random;
import samelight.engine.frame.SmallImage;
import samelight.engine.photometry.SrgbTransfer;

/** An invented place with a texture, seen at any crop and exposure; for tests only. */
public final class Scene {
  private static final int SIZE = 512;
  private final float[] reflectance = new float[SIZE * SIZE];

  /** A place of its own for each seed: four octaves of value noise around a dark grey. */
  public Scene(long seed) {
    Random random = new Random(seed);
    for (int octave = 0; octave < 5; octave++) {
      int cells = 8 << octave;
      float[] grid = new float[(cells + 1) * (cells + 1)];
      for (int i = 0; i < grid.length; i++) {
        grid[i] = (float) random.nextGaussian();
      }
      float weight = (float) (0.6 / Math.pow(1.35, octave));
      for (int y = 0; y < SIZE; y++) {
        for (int x = 0; x < SIZE; x++) {
          float gx = (float) x * cells / SIZE;
          float gy = (float) y * cells / SIZE;
          int ix = (int) gx;
          int iy = (int) gy;
          float fx = gx - ix;
          float fy = gy - iy;
          float top = grid[iy * (cells + 1) + ix] * (1 - fx) + grid[iy * (cells + 1) + ix + 1] * fx;
          float low =
              grid[(iy + 1) * (cells + 1) + ix] * (1 - fx)
                  + grid[(iy + 1) * (cells + 1) + ix + 1] * fx;
          reflectance[y * SIZE + x] += weight * (top * (1 - fy) + low * fy);
        }
      }
    }
  }

  /**
   * A small image of 96 x 64 pixels.
   *
   * @param left left border of the crop, 0 to 1 of the place
   * @param top upper border of the crop
   * @param width width of the crop, 0 to 1
   * @param stops exposure: 0 renders the place's mean at 12 %
   * @param redder stops by which red is lifted
   */
  public SmallImage image(double left, double top, double width, double stops, double redder) {
    int w = 96;
    int h = 64;
    byte[] rgb = new byte[w * h * 3];
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        double[] sum = new double[3];
        for (int s = 0; s < 9; s++) {
          double u = left + width * (x + (s % 3 + 0.5) / 3) / w;
          double v = top + width * (y + (Math.floorDiv(s, 3) + 0.5) / 3) / w;
          double base = 0.12 * Math.pow(2, at(u, v) + stops);
          sum[0] += base * Math.pow(2, redder);
          sum[1] += base;
          sum[2] += base * 0.9;
        }
        for (int c = 0; c < 3; c++) {
          rgb[(y * w + x) * 3 + c] = (byte) SrgbTransfer.encode8(Math.min(1, sum[c] / 9));
        }
      }
    }
    return new SmallImage(w, h, rgb);
  }

  private double at(double u, double v) {
    double x = Math.min(0.999, Math.max(0, u)) * (SIZE - 1);
    double y = Math.min(0.999, Math.max(0, v)) * (SIZE - 1);
    int ix = (int) x;
    int iy = (int) y;
    double fx = x - ix;
    double fy = y - iy;
    int i = iy * SIZE + ix;
    double top = reflectance[i] * (1 - fx) + reflectance[i + 1] * fx;
    double low = reflectance[i + SIZE] * (1 - fx) + reflectance[i + SIZE + 1] * fx;
    return top * (1 - fy) + low * fy;
  }
}
