package samelight.engine.likeness;

import org.jspecify.annotations.Nullable;
import samelight.engine.frame.SmallImage;
import samelight.engine.photometry.BodyResponse;

/**
 * A small image made ready for comparison: upright, as log2 exposure per channel by the response of
 * its body, with the pixels that can be trusted.
 */
public final class View {
  /** Below this code value noise and the toe rule, above it clipping does. */
  private static final int DARKEST = 24;

  private static final int BRIGHTEST = 230;
  private static final int LONG_SIDE = 96;

  final int width;
  final int height;
  final Plane red;
  final Plane green;
  final Plane blue;
  final boolean[] valid;
  private final double brightness;
  private final double redGreen;
  private final double blueGreen;
  private final double clipped;
  private @Nullable Plane fine;
  private @Nullable Plane half;
  private @Nullable Scales scales;

  private View(Plane red, Plane green, Plane blue, boolean[] valid, double clipped) {
    this.width = green.width;
    this.height = green.height;
    this.red = red;
    this.green = green;
    this.blue = blue;
    this.valid = valid;
    this.clipped = clipped;
    double g = 0;
    double rg = 0;
    double bg = 0;
    int n = 0;
    double all = 0;
    for (int i = 0; i < valid.length; i++) {
      all += green.v[i];
      if (valid[i]) {
        g += green.v[i];
        rg += red.v[i] - green.v[i];
        bg += blue.v[i] - green.v[i];
        n++;
      }
    }
    brightness = n > 0 ? g / n : all / valid.length;
    redGreen = n > 0 ? rg / n : 0;
    blueGreen = n > 0 ? bg / n : 0;
  }

  /**
   * Prepares a small image.
   *
   * @param image the image as stored
   * @param orientation Exif Orientation, 1 to 8
   * @param response of the body that rendered it
   */
  public static View of(SmallImage image, int orientation, BodyResponse response) {
    int w = image.width();
    int h = image.height();
    boolean turned = orientation >= 5;
    int uw = turned ? h : w;
    int uh = turned ? w : h;
    byte[] rgb = image.rgb();
    Plane[] p = {new Plane(uw, uh), new Plane(uw, uh), new Plane(uw, uh)};
    Plane bad = new Plane(uw, uh);
    int over = 0;
    for (int y = 0; y < uh; y++) {
      for (int x = 0; x < uw; x++) {
        int at = source(x, y, w, h, orientation) * 3;
        int to = y * uw + x;
        int low = 255;
        int high = 0;
        for (int c = 0; c < 3; c++) {
          int code = rgb[at + c] & 0xFF;
          low = Math.min(low, code);
          high = Math.max(high, code);
          p[c].v[to] = response.ofCode(code);
        }
        int code = rgb[at + 1] & 0xFF;
        if (code < DARKEST || low < DARKEST / 2 || high > BRIGHTEST) {
          bad.v[to] = 1;
        }
        if (high > 250) {
          over++;
        }
      }
    }
    double scale = (double) LONG_SIDE / Math.max(uw, uh);
    int tw = uw;
    int th = uh;
    if (scale < 1) {
      tw = (int) Math.max(1, Math.round(uw * scale));
      th = (int) Math.max(1, Math.round(uh * scale));
    }
    bad = bad.shrink(tw, th);
    boolean[] valid = new boolean[tw * th];
    for (int i = 0; i < valid.length; i++) {
      valid[i] = bad.v[i] < 0.2f;
    }
    return new View(
        p[0].shrink(tw, th),
        p[1].shrink(tw, th),
        p[2].shrink(tw, th),
        valid,
        (double) over / (uw * uh));
  }

  /** Index in the stored image of an upright pixel (Exif 2.2, Orientation). */
  private static int source(int x, int y, int w, int h, int orientation) {
    return switch (orientation) {
      case 2 -> y * w + (w - 1 - x);
      case 3 -> (h - 1 - y) * w + (w - 1 - x);
      case 4 -> (h - 1 - y) * w + x;
      case 5 -> x * w + y;
      case 6 -> (h - 1 - x) * w + y;
      case 7 -> (h - 1 - x) * w + (w - 1 - y);
      case 8 -> x * w + (w - 1 - y);
      default -> y * w + x;
    };
  }

  /** Mean log2 exposure of the unclipped pixels, green, in stops relative to full scale. */
  public double brightness() {
    return brightness;
  }

  /** Mean log2 of red over green of the unclipped pixels, as rendered. */
  public double redGreen() {
    return redGreen;
  }

  /** Mean log2 of blue over green of the unclipped pixels, as rendered. */
  public double blueGreen() {
    return blueGreen;
  }

  /** Share of pixels at the upper end of the scale, 0 to 1. */
  public double clipped() {
    return clipped;
  }

  /** Texture at full size. */
  Plane fine() {
    Plane f = fine;
    if (f == null) {
      f = green.localContrast(3, 4, 0.12f);
      fine = f;
    }
    return f;
  }

  /** Texture at half size. */
  Plane half() {
    Plane f = half;
    if (f == null) {
      f =
          green
              .shrink(Math.max(8, (width + 1) / 2), Math.max(8, (height + 1) / 2))
              .localContrast(3, 4, 0.12f);
      half = f;
    }
    return f;
  }

  /** The coarse search images; see {@link #release}. */
  Scales scales() {
    Scales s = scales;
    if (s == null) {
      s = new Scales(green);
      scales = s;
    }
    return s;
  }

  /** Gives back what can be computed again. */
  public void release() {
    scales = null;
    fine = null;
    half = null;
  }
}
