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
  private static final double LN2 = Math.log(2);

  /** Size k is 2^(-k/4) of the full one: four to the half. */
  static final int PER_HALF = 4;

  static final int SIZES = 11;

  final int width;
  final int height;
  final Plane red;
  final Plane green;
  final Plane blue;
  final boolean[] valid;
  private final double redGreen;
  private final double blueGreen;
  private final double clipped;
  private final Plane bad;
  private final @Nullable Plane[] texture = new Plane[SIZES];
  private final Plane[] @Nullable [] colour = new Plane[SIZES][];
  private final boolean[] @Nullable [] trusted = new boolean[SIZES][];
  private final boolean[] @Nullable [] around = new boolean[SIZES][];
  private @Nullable Scales scales;
  private @Nullable Scales largest;

  private View(Plane red, Plane green, Plane blue, Plane bad, boolean[] valid, double clipped) {
    this.bad = bad;
    this.width = green.width;
    this.height = green.height;
    this.red = red;
    this.green = green;
    this.blue = blue;
    this.valid = valid;
    this.clipped = clipped;
    double rg = 0;
    double bg = 0;
    int n = 0;
    for (int i = 0; i < valid.length; i++) {
      if (valid[i]) {
        rg += red.v[i] - green.v[i];
        bg += blue.v[i] - green.v[i];
        n++;
      }
    }
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
        bad,
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

  /** This view without the bands by which it differs from another. */
  View without(Bands.Fit bands, boolean turned) {
    return new View(
        even(red, bands, turned),
        even(green, bands, turned),
        even(blue, bands, turned),
        bad,
        valid,
        clipped);
  }

  private static Plane even(Plane plane, Bands.Fit bands, boolean turned) {
    Plane out = new Plane(plane.width, plane.height);
    int rows = turned ? plane.width : plane.height;
    float[] stops = new float[rows];
    for (int i = 0; i < rows; i++) {
      stops[i] = (float) bands.at((i + 0.5) / rows);
    }
    for (int i = 0; i < out.v.length; i++) {
      out.v[i] = plane.v[i] - stops[turned ? i % plane.width : Math.floorDiv(i, plane.width)];
    }
    return out;
  }

  /**
   * Log2 of the mean exposure of the unclipped pixels, green, in stops relative to full scale: the
   * average luminance, as an averaging meter has it (ISO 2720). What a picture shows moves it less
   * than it moves the mean of logarithms, which counts a dark suit as much as the daylight beside.
   */
  public double brightness() {
    double sum = 0;
    double all = 0;
    int n = 0;
    for (int i = 0; i < valid.length; i++) {
      all += green.v[i];
      if (valid[i]) {
        sum += Math.exp(LN2 * green.v[i]);
        n++;
      }
    }
    return n > 0 ? Math.log(sum / n) / LN2 : all / valid.length;
  }

  /**
   * Mean log2 exposure of the middle third of the picture over that of its sides and top, green, in
   * stops: where people stand over what is behind them.
   */
  public double middle() {
    double in = 0;
    double out = 0;
    int inside = 0;
    int outside = 0;
    for (int y = 0; y < height; y++) {
      double v = (y + 0.5) / height - 0.5;
      for (int x = 0; x < width; x++) {
        double u = Math.abs((x + 0.5) / width - 0.5);
        float e = green.v[y * width + x];
        if (u < 0.17 && Math.abs(v) < 0.25) {
          in += e;
          inside++;
        } else if (u > 0.33 || v < -0.33) {
          out += e;
          outside++;
        }
      }
    }
    return inside == 0 || outside == 0 ? 0 : in / inside - out / outside;
  }

  /**
   * How brightly skin is rendered, in stops relative to full scale, or NaN where too little of the
   * picture has the colour of skin.
   */
  public double skin() {
    return Skin.level(red, green, blue);
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

  private Plane sized(Plane full, int size) {
    double s = Math.pow(2, -(double) size / PER_HALF);
    return full.shrink(
        Math.max(Math.min(8, width), (int) Math.round(width * s)),
        Math.max(Math.min(8, height), (int) Math.round(height * s)));
  }

  /**
   * Texture at a size.
   *
   * @param size 0 is full, each four steps halve it, less than {@link #SIZES}
   */
  Plane texture(int size) {
    Plane t = texture[size];
    if (t == null) {
      t = sized(green, size).localContrast(3, 4, 0.12f);
      texture[size] = t;
    }
    return t;
  }

  /** Green, red and blue log2 exposure at a size. */
  Plane[] colour(int size) {
    Plane[] c = colour[size];
    if (c == null) {
      c = new Plane[] {sized(green, size), sized(red, size), sized(blue, size)};
      colour[size] = c;
    }
    return c;
  }

  /** Which pixels can be trusted at a size. */
  boolean[] trusted(int size) {
    if (size == 0) {
      return valid;
    }
    boolean[] t = trusted[size];
    if (t == null) {
      Plane b = sized(bad, size);
      t = new boolean[b.v.length];
      for (int i = 0; i < t.length; i++) {
        t[i] = b.v[i] < 0.2f;
      }
      trusted[size] = t;
    }
    return t;
  }

  /** Which pixels can be trusted together with those to the right and below. */
  boolean[] trustedAround(int size) {
    boolean[] t = around[size];
    if (t == null) {
      boolean[] single = trusted(size);
      int w = size == 0 ? width : colour(size)[0].width;
      t = new boolean[single.length];
      for (int i = 0; i < t.length - w - 1; i++) {
        t[i] = single[i] && single[i + 1] && single[i + w] && single[i + w + 1];
      }
      around[size] = t;
    }
    return t;
  }

  /** The coarse search images; see {@link #release}. */
  Scales scales() {
    Scales s = scales;
    if (s == null) {
      s = new Scales(green, Scales.LEVELS);
      scales = s;
    }
    return s;
  }

  /** The largest of them. */
  Scales largest() {
    Scales s = largest;
    if (s == null) {
      s = new Scales(green, 1);
      largest = s;
    }
    return s;
  }

  /** Gives back what can be computed again. */
  public void release() {
    scales = null;
    largest = null;
    java.util.Arrays.fill(texture, null);
    java.util.Arrays.fill(colour, null);
    java.util.Arrays.fill(trusted, null);
    java.util.Arrays.fill(around, null);
  }
}
