package samelight.engine.metadata;

import samelight.engine.hevc.ColourSignal;
import samelight.engine.hevc.HevcPicture;
import samelight.engine.photometry.SrgbTransfer;

/**
 * Planes of HEVC as 8-bit sRGB code values, like a JPEG's. Codes on curves near sRGB's are taken as
 * they are, as a JPEG's are, whatever primaries they have. Codes for displays of high dynamic range
 * become the light of their display ([BT.2100], Tables 4 and 5; for HLG one of 1000 cd/m2), BT.2020
 * primaries become sRGB's, and the reference white of 203 cd/m2 ([BT.2408]) becomes 1: what lies
 * above is clipped, as it is in a JPEG.
 */
final class HevcColours {
  private static final int PQ = 16;
  private static final int HLG = 18;
  private static final int BT2020 = 9;
  private static final int STEPS = 1 << 14;
  private static final double REFERENCE_WHITE = 203;
  private static final double HLG_PEAK = 1000;

  /** sRGB codes by linear light. */
  private static final byte[] SRGB = new byte[STEPS + 1];

  static {
    for (int i = 0; i <= STEPS; i++) {
      SRGB[i] = (byte) SrgbTransfer.encode8((double) i / STEPS);
    }
  }

  private final HevcPicture picture;
  private final ColourSignal colour;
  private final int most;
  private final double redOfCr;
  private final double greenOfCb;
  private final double greenOfCr;
  private final double blueOfCb;

  private HevcColours(HevcPicture picture, ColourSignal colour, double red, double blue) {
    this.picture = picture;
    this.colour = colour;
    this.most = (1 << picture.lumaDepth()) - 1;
    double green = 1 - red - blue;
    this.redOfCr = 2 * (1 - red);
    this.blueOfCb = 2 * (1 - blue);
    this.greenOfCb = -2 * blue * (1 - blue) / green;
    this.greenOfCr = -2 * red * (1 - red) / green;
  }

  /**
   * Converts a picture.
   *
   * @param colour what holds for it
   * @return rows from the top, R G B
   * @throws ReducedJpeg.Unsupported if its curve or its matrix isn't one that is known
   */
  static byte[] rgb(HevcPicture picture, ColourSignal colour) throws ReducedJpeg.Unsupported {
    double[] weights = weights(colour.matrix());
    HevcColours c = new HevcColours(picture, colour, weights[0], weights[1]);
    return switch (colour.transfer()) {
      case 1, 2, 6, 13, 14, 15 -> c.asTheyAre();
      case PQ, HLG -> c.displayed();
      default ->
          throw new ReducedJpeg.Unsupported(
              "HEVC with transfer characteristics " + colour.transfer());
    };
  }

  /** Kr and Kb ([H.273], 8.3). */
  private static double[] weights(int matrix) throws ReducedJpeg.Unsupported {
    return switch (matrix) {
      case 1 -> new double[] {SrgbTransfer.RED, SrgbTransfer.BLUE};
      case 2, 5, 6 -> new double[] {0.299, 0.114};
      case BT2020 -> new double[] {0.2627, 0.0593};
      default -> throw new ReducedJpeg.Unsupported("HEVC with matrix coefficients " + matrix);
    };
  }

  /** Values of a row of luma, each with its chroma, R' G' B' from 0 to 1 before clipping. */
  private void row(int y, double[] out) {
    int shift = picture.lumaDepth() - 8;
    double black = colour.fullRange() ? 0 : 16 << shift;
    double range = colour.fullRange() ? most : 219 << shift;
    int chromaShift = picture.chromaDepth() - 8;
    double middle = 128 << chromaShift;
    double chromaRange = colour.fullRange() ? (1 << picture.chromaDepth()) - 1 : 224 << chromaShift;
    int across = picture.chromaFormat() == 3 ? 0 : 1;
    int down = picture.chromaFormat() == 1 ? 1 : 0;
    short[] luma = picture.planes().get(0);
    boolean grey = picture.chromaFormat() == 0;
    short[] blue = grey ? luma : picture.planes().get(1);
    short[] red = grey ? luma : picture.planes().get(2);
    int line = (y >> down) * picture.chromaWidth();
    for (int x = 0, o = 0; x < picture.width(); x++) {
      double v = (luma[y * picture.width() + x] - black) / range;
      double cb = grey ? 0 : (blue[line + (x >> across)] - middle) / chromaRange;
      double cr = grey ? 0 : (red[line + (x >> across)] - middle) / chromaRange;
      out[o++] = v + redOfCr * cr;
      out[o++] = v + greenOfCb * cb + greenOfCr * cr;
      out[o++] = v + blueOfCb * cb;
    }
  }

  private byte[] asTheyAre() {
    byte[] rgb = new byte[picture.width() * picture.height() * 3];
    double[] row = new double[picture.width() * 3];
    for (int y = 0, o = 0; y < picture.height(); y++) {
      row(y, row);
      for (double v : row) {
        rgb[o++] = (byte) Math.max(0, Math.min(255, (int) (255 * v + 0.5)));
      }
    }
    return rgb;
  }

  private byte[] displayed() {
    byte[] rgb = new byte[picture.width() * picture.height() * 3];
    double[] row = new double[picture.width() * 3];
    double[] light = colour.transfer() == PQ ? pq() : hlg();
    boolean wide = colour.primaries() == BT2020;
    for (int y = 0, o = 0; y < picture.height(); y++) {
      row(y, row);
      for (int i = 0; i < row.length; i += 3) {
        double r = at(light, row[i]);
        double g = at(light, row[i + 1]);
        double b = at(light, row[i + 2]);
        if (colour.transfer() == HLG) {
          double gain = Math.pow(0.2627 * r + 0.6780 * g + 0.0593 * b, 0.2);
          r *= gain;
          g *= gain;
          b *= gain;
        }
        if (wide) {
          rgb[o++] = code(1.6605 * r - 0.5876 * g - 0.0728 * b);
          rgb[o++] = code(-0.1246 * r + 1.1329 * g - 0.0083 * b);
          rgb[o++] = code(-0.0182 * r - 0.1006 * g + 1.1187 * b);
        } else {
          rgb[o++] = code(r);
          rgb[o++] = code(g);
          rgb[o++] = code(b);
        }
      }
    }
    return rgb;
  }

  private double at(double[] light, double code) {
    return light[Math.max(0, Math.min(most, (int) (code * most + 0.5)))];
  }

  private static byte code(double light) {
    return SRGB[Math.max(0, Math.min(STEPS, (int) (light * STEPS + 0.5)))];
  }

  /** By code: light of the display over the reference white ([BT.2100], Table 4). */
  private double[] pq() {
    double[] light = new double[most + 1];
    for (int i = 0; i <= most; i++) {
      double p = Math.pow((double) i / most, 1 / 78.84375);
      double v = Math.max(0, p - 0.8359375) / (18.8515625 - 18.6875 * p);
      light[i] = 10_000 * Math.pow(v, 1 / 0.1593017578125) / REFERENCE_WHITE;
    }
    return light;
  }

  /**
   * By code: light of the scene, scaled so that its own luminance to the power of 0.2 makes it
   * light of the display over the reference white ([BT.2100], Table 5).
   */
  private double[] hlg() {
    double[] light = new double[most + 1];
    double scale = Math.pow(HLG_PEAK / REFERENCE_WHITE, 1 / 1.2);
    for (int i = 0; i <= most; i++) {
      double e = (double) i / most;
      double v = e <= 0.5 ? e * e / 3 : (Math.exp((e - 0.55991073) / 0.17883277) + 0.28466892) / 12;
      light[i] = v * scale;
    }
    return light;
  }
}
