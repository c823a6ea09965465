package samelight.engine.keepers;

import java.util.Arrays;
import samelight.engine.metadata.Luma;

/**
 * How sharp a picture is where it matters.
 *
 * <p>The energy of the Laplacian, the measure LAP1 of [PERTUZ13] (there after Nayar and Nakagawa's
 * and Subbarao's), summed over blocks of 16 x 16 pixels with a weight that falls off from the focus
 * point, else from the middle. Departures: what flat blocks have of it is taken for noise and
 * subtracted; and the sum is divided by the same of the picture at a quarter of the size, so that
 * neither contrast nor exposure counts, only how much of the finest structure is left. Second
 * differences along four directions are kept apart: a moving camera takes away those along its
 * path, defocus all alike.
 *
 * @param value finest structure over coarse structure, 0 or more; comparable within one framing
 * @param directions the same along 0, 45, 90 and 135 degrees
 * @param clipped share of the pixels with a code value of at least 250, 0 to 1
 * @param brightness mean log2 of linear luma over the unclipped pixels, stops relative to full scale
 */
@SuppressWarnings("ArrayRecordComponent") // columns of one measurement, private to the package
public record Sharpness(double value, double[] directions, double clipped, double brightness) {
  private static final int BLOCK = 16;
  private static final int COARSER = 4;
  private static final int CLIPPED = 250;

  /** Share of the blocks whose finest structure is taken for noise. */
  private static final double FLAT = 0.1;

  /** Width of the weight's bell around the middle, in longer sides. */
  private static final double MIDDLE_SIGMA = 0.25;

  /** The same around a focus point. */
  private static final double FOCUS_SIGMA = 0.12;

  private static final double[] LOG2 = new double[256];

  static {
    for (int i = 0; i < 256; i++) {
      LOG2[i] = 2.2 * Math.log((i + 0.5) / 255) / Math.log(2);
    }
  }

  /** Sums over the blocks of one size of the picture. */
  private static final class Energy {
    final double[] sum = new double[4];
    double all;
  }

  /**
   * Measures a picture.
   *
   * @param x focus point, 0 (left) to 1 (right); NaN where none is known
   * @param y focus point, 0 (top) to 1 (bottom); NaN where none is known
   */
  public static Sharpness of(Luma picture, double x, double y) {
    int w = picture.width();
    int h = picture.height();
    byte[] codes = picture.codes();
    long clipped = 0;
    double brightness = 0;
    int[] histogram = new int[256];
    for (byte code : codes) {
      histogram[code & 0xFF]++;
    }
    long counted = 0;
    for (int i = 0; i < 256; i++) {
      if (i >= CLIPPED) {
        clipped += histogram[i];
      } else {
        brightness += LOG2[i] * histogram[i];
        counted += histogram[i];
      }
    }
    Energy fine = energy(codes, w, h, x, y, BLOCK, true);
    int cw = w / COARSER;
    int ch = h / COARSER;
    Energy coarse = energy(smaller(codes, w, cw, ch), cw, ch, x, y, BLOCK / COARSER, false);
    double[] directions = new double[4];
    for (int d = 0; d < 4; d++) {
      directions[d] = ratio(fine.sum[d], coarse.sum[d]);
    }
    return new Sharpness(
        ratio(fine.all, coarse.all),
        directions,
        (double) clipped / codes.length,
        counted == 0 ? 0 : brightness / counted);
  }

  private static double ratio(double fine, double coarse) {
    return coarse <= 0 ? 0 : Math.sqrt(Math.max(0, fine) / coarse);
  }

  private static byte[] smaller(byte[] codes, int w, int cw, int ch) {
    byte[] out = new byte[cw * ch];
    for (int y = 0; y < ch; y++) {
      for (int x = 0; x < cw; x++) {
        int sum = COARSER * COARSER / 2;
        for (int j = 0; j < COARSER; j++) {
          int at = (y * COARSER + j) * w + x * COARSER;
          for (int i = 0; i < COARSER; i++) {
            sum += codes[at + i] & 0xFF;
          }
        }
        out[y * cw + x] = (byte) (sum / (COARSER * COARSER));
      }
    }
    return out;
  }

  private static Energy energy(
      byte[] codes, int w, int h, double fx, double fy, int block, boolean noisy) {
    int wide = Math.max(0, (w - 2) / block);
    int high = Math.max(0, (h - 2) / block);
    double[][] sums = new double[5][wide * high];
    int[] p = new int[5];
    for (int by = 0; by < high; by++) {
      for (int bx = 0; bx < wide; bx++) {
        Arrays.fill(p, 0);
        sum(codes, w, 1 + bx * block, 1 + by * block, block, p);
        for (int d = 0; d < 5; d++) {
          sums[d][by * wide + bx] = p[d] / (double) (block * block);
        }
      }
    }
    Energy e = new Energy();
    for (int d = 0; d < 5; d++) {
      double floor = noisy ? floor(sums[d]) : 0;
      double sum = 0;
      for (int i = 0; i < sums[d].length; i++) {
        double weight = weight(i % wide, i / wide, wide, high, fx, fy);
        sum += weight * Math.max(0, sums[d][i] - floor);
      }
      if (d < 4) {
        e.sum[d] = sum;
      } else {
        e.all = sum;
      }
    }
    return e;
  }

  /** Second differences of a block, squared: along four directions, and the Laplacian. */
  private static void sum(byte[] codes, int w, int x0, int y0, int block, int[] out) {
    int a = 0;
    int b = 0;
    int c = 0;
    int d = 0;
    int all = 0;
    for (int y = y0; y < y0 + block; y++) {
      int at = y * w + x0;
      for (int end = at + block; at < end; at++) {
        int two = 2 * (codes[at] & 0xFF);
        int across = (codes[at - 1] & 0xFF) + (codes[at + 1] & 0xFF) - two;
        int down = (codes[at - w] & 0xFF) + (codes[at + w] & 0xFF) - two;
        int rising = (codes[at - w + 1] & 0xFF) + (codes[at + w - 1] & 0xFF) - two;
        int falling = (codes[at - w - 1] & 0xFF) + (codes[at + w + 1] & 0xFF) - two;
        a += across * across;
        b += rising * rising;
        c += down * down;
        d += falling * falling;
        int laplacian = across + down;
        all += laplacian * laplacian;
      }
    }
    out[0] = a;
    out[1] = b;
    out[2] = c;
    out[3] = d;
    out[4] = all;
  }

  private static double floor(double[] blocks) {
    if (blocks.length == 0) {
      return 0;
    }
    double[] sorted = blocks.clone();
    Arrays.sort(sorted);
    return sorted[(int) (FLAT * (sorted.length - 1))];
  }

  private static double weight(int bx, int by, int wide, int high, double fx, double fy) {
    boolean focus = !Double.isNaN(fx) && !Double.isNaN(fy);
    double sigma = focus ? FOCUS_SIGMA : MIDDLE_SIGMA;
    double longer = Math.max(wide, high);
    double dx = ((bx + 0.5) - (focus ? fx : 0.5) * wide) / longer;
    double dy = ((by + 0.5) - (focus ? fy : 0.5) * high) / longer;
    return Math.exp(-(dx * dx + dy * dy) / (2 * sigma * sigma));
  }

  /**
   * How much more of the sharper picture's structure is lost along one direction than across it: 1
   * where all directions lost alike, as by defocus, towards 0 where one lost most, as by motion.
   */
  public double evenness(Sharpness sharper) {
    double least = Double.MAX_VALUE;
    double most = 0;
    for (int d = 0; d < 4; d++) {
      double left = sharper.directions[d] <= 0 ? 1 : directions[d] / sharper.directions[d];
      least = Math.min(least, left);
      most = Math.max(most, left);
    }
    return most <= 0 ? 1 : least / most;
  }
}
