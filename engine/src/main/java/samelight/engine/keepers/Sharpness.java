package samelight.engine.keepers;

import java.util.Arrays;
import samelight.engine.metadata.Luma;

/**
 * How sharp a picture is where it matters.
 *
 * <p>The energy of the Laplacian, an operator of [PERTUZ13] summed over blocks of 16 x 16 pixels
 * with a weight that falls off from the focus point, else from the middle. Departures: what flat
 * blocks have of it is taken for noise and subtracted; and the sum is divided by that of the
 * squared code values, as a picture that is darker by some stops has code values, and their
 * differences, that are smaller by one factor (a power law, which a camera's curve is nearly).
 * Second differences along four directions are kept apart: a moving camera takes away those along
 * its path, defocus all alike.
 *
 * @param value root of that ratio, 0 or more; comparable within one framing
 * @param directions the same along 0, 45, 90 and 135 degrees
 * @param clipped share of the pixels with a code value of at least 250, 0 to 1
 * @param brightness mean log2 of linear luma over the unclipped pixels, stops relative to full
 *     scale
 */
@SuppressWarnings("ArrayRecordComponent") // columns of one measurement, private to the package
public record Sharpness(double value, double[] directions, double clipped, double brightness) {
  private static final int BLOCK = 16;
  private static final int CLIPPED = 250;

  /** Where one direction lost so much more than another the camera or the subject moved. */
  private static final double MOTION = 0.77;

  /** Less than this share is left by defocus only: motion leaves what lies along its path. */
  private static final double DEEP = 0.28;

  /** Share of the blocks whose finest structure is taken for noise. */
  private static final double FLAT = 0.1;

  /** Width of the weight's bell around the middle, in longer sides. */
  private static final double MIDDLE_SIGMA = 0.25;

  /** The same around a focus point. */
  private static final double FOCUS_SIGMA = 0.05;

  private static final double[] LOG2 = new double[256];

  static {
    for (int i = 0; i < 256; i++) {
      LOG2[i] = 2.2 * Math.log((i + 0.5) / 255) / Math.log(2);
    }
  }

  /** Sums over the blocks of one size of the picture. */
  private static final class Energy {
    final double[] sum = new double[5];
    double level;
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
    Energy e = energy(codes, w, h, x, y);
    double[] directions = new double[4];
    for (int d = 0; d < 4; d++) {
      directions[d] = ratio(e.sum[d], e.level);
    }
    return new Sharpness(
        ratio(e.sum[4], e.level),
        directions,
        codes.length == 0 ? 0 : (double) clipped / codes.length,
        counted == 0 ? 0 : brightness / counted);
  }

  private static double ratio(double structure, double level) {
    return level <= 0 ? 0 : Math.sqrt(Math.max(0, structure) / level);
  }

  private static Energy energy(byte[] codes, int w, int h, double fx, double fy) {
    int wide = Math.max(0, (w - 2) / BLOCK);
    int high = Math.max(0, (h - 2) / BLOCK);
    double[][] sums = new double[6][wide * high];
    long[] p = new long[6];
    for (int by = 0; by < high; by++) {
      for (int bx = 0; bx < wide; bx++) {
        sum(codes, w, 1 + bx * BLOCK, 1 + by * BLOCK, p);
        for (int d = 0; d < 6; d++) {
          sums[d][by * wide + bx] = p[d] / (double) (BLOCK * BLOCK);
        }
      }
    }
    Energy e = new Energy();
    double[] floors = new double[5];
    for (int d = 0; d < 5; d++) {
      floors[d] = floor(sums[d]);
    }
    for (int i = 0; i < wide * high; i++) {
      double weight = weight(i % wide, i / wide, wide, high, fx, fy);
      for (int d = 0; d < 5; d++) {
        e.sum[d] += weight * Math.max(0, sums[d][i] - floors[d]);
      }
      e.level += weight * sums[5][i];
    }
    return e;
  }

  /** Squares over a block: second differences along four directions, the Laplacian, the codes. */
  private static void sum(byte[] codes, int w, int x0, int y0, long[] out) {
    int a = 0;
    int b = 0;
    int c = 0;
    int d = 0;
    int all = 0;
    int level = 0;
    for (int y = y0; y < y0 + BLOCK; y++) {
      int at = y * w + x0;
      for (int end = at + BLOCK; at < end; at++) {
        int code = codes[at] & 0xFF;
        int two = 2 * code;
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
        level += code * code;
      }
    }
    out[0] = a;
    out[1] = b;
    out[2] = c;
    out[3] = d;
    out[4] = all;
    out[5] = level;
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

  /** Whether motion rather than defocus made this picture softer than the other, as far as told. */
  boolean moved(Sharpness sharper) {
    return evenness(sharper) < MOTION && value >= DEEP * sharper.value;
  }
}
