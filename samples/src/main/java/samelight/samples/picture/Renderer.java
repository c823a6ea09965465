package samelight.samples.picture;

import java.awt.AlphaComposite;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.awt.image.DataBufferInt;
import java.util.Arrays;
import java.util.Random;
import samelight.samples.camera.ToneCurve;
import samelight.samples.file.Picture;
import samelight.samples.light.Light;
import samelight.samples.light.Matrix3;

/**
 * Turns a composition into pixels. Keep one for each thread: it reuses its buffers.
 *
 * <p>Each pixel is surface times light times camera in linear sRGB, times 1 + noise, through the
 * body's tone curve. The curve is a table over the logarithm of light with 256 steps a stop, found
 * from the bits of a float without taking a logarithm.
 */
public final class Renderer {

  private static final int FLOOR = Float.floatToRawIntBits(1f / 4096) >> 15;
  private static final int STEPS = 16 * 256;
  private static final float[] NOISE = new float[65536];

  /**
   * Bands over the sensor's height: it reads in three hundredths of a second, lamps have 100 Hz.
   */
  private static final double BANDS = 3;

  static {
    Random r = new Random(20260613);
    for (int i = 0; i < NOISE.length; i++) {
      NOISE[i] = (float) r.nextGaussian();
    }
  }

  private final int longSide;
  private final int shortSide;
  private final BufferedImage landscape;
  private final BufferedImage upright;
  private final float[] linear;
  private final float[] grain = new float[STEPS];

  /**
   * A renderer for frames of a size.
   *
   * @param longSide width of the sensor's picture in pixels, at least 48
   * @param shortSide height of the sensor's picture in pixels, at least 32
   */
  public Renderer(int longSide, int shortSide) {
    if (longSide < 48 || shortSide < 32) {
      throw new IllegalArgumentException(
          "pictures are at least 48x32, got " + longSide + "x" + shortSide);
    }
    this.longSide = longSide;
    this.shortSide = shortSide;
    landscape = new BufferedImage(longSide, shortSide, BufferedImage.TYPE_INT_ARGB_PRE);
    upright = new BufferedImage(shortSide, longSide, BufferedImage.TYPE_INT_ARGB_PRE);
    linear = new float[3 * longSide * shortSide];
  }

  /** A tone curve as a table for {@link #render}. */
  public static byte[] table(ToneCurve curve) {
    byte[] t = new byte[STEPS];
    for (int i = 0; i < STEPS; i++) {
      t[i] = (byte) StrictMath.round(curve.code(Float.intBitsToFloat(((i + FLOOR) << 15) + 16384)));
    }
    return t;
  }

  /**
   * Renders a frame as the sensor lay: a portrait picture comes out turned.
   *
   * @param table tone curve from {@link #table}
   * @param orientation Exif Orientation: 1, 6 or 8, the latter two only for portrait pictures
   * @param seed for the noise
   */
  public Picture render(Composition c, Lighting light, byte[] table, int orientation, long seed) {
    int width = c.portrait() ? shortSide : longSide;
    int height = c.portrait() ? longSide : shortSide;
    int[] figures = figures(c, c.portrait() ? upright : landscape, width, height);
    Panorama place = Gallery.of(c.place());
    grain(light.iso());
    float[] s = floats(light.subject());
    float[] g = floats(light.ground());
    float[] o = floats(light.other());
    double step = c.scale() * 480 / longSide;
    double left = clamp(c.centreX() * Panorama.WIDTH, width * step, Panorama.WIDTH);
    double top = clamp(c.centreY() * Panorama.HEIGHT, height * step, Panorama.HEIGHT);
    int start;
    int right;
    int down;
    switch (orientation) {
      case 1 -> {
        start = 0;
        right = 1;
        down = longSide;
      }
      case 6 -> {
        start = (shortSide - 1) * longSide;
        right = -longSide;
        down = 1;
      }
      case 8 -> {
        start = longSide - 1;
        right = longSide;
        down = -1;
      }
      default ->
          throw new IllegalArgumentException("orientation must be 1, 6 or 8, got " + orientation);
    }
    float g0 = g[0];
    float g1 = g[1];
    float g2 = g[2];
    float g3 = g[3];
    float g4 = g[4];
    float g5 = g[5];
    float g6 = g[6];
    float g7 = g[7];
    float g8 = g[8];
    int[] columns = new int[width];
    float[] shares = new float[width];
    for (int x = 0; x < width; x++) {
      float px = (float) Math.max(0, Math.min(Panorama.WIDTH - 1.001, left + x * step));
      columns[x] = (int) px;
      shares[x] = px - columns[x];
    }
    // bands follow the sensor's rows, which stand upright in a portrait picture
    float[] bands = new float[shortSide];
    for (int row = 0; row < shortSide; row++) {
      bands[row] =
          (float)
              StrictMath.pow(
                  2,
                  light.bandDepth()
                      * StrictMath.sin(
                          2 * StrictMath.PI * (BANDS * row / shortSide + light.bandPhase())));
    }
    float[] p = place.rgb;
    int[] out = new int[longSide * shortSide];
    for (int y = 0; y < height; y++) {
      float py = (float) Math.max(0, Math.min(Panorama.HEIGHT - 1.001, top + y * step));
      int y0 = (int) py;
      float fy = py - y0;
      int noise = (int) mix(seed + y) & 65535;
      int at = start + y * down;
      for (int x = 0; x < width; x++, at += right) {
        float r;
        float gr;
        float b;
        int argb = figures[y * width + x];
        int alpha = argb >>> 24;
        float red = 0;
        float green = 0;
        float blue = 0;
        if (alpha < 255) {
          float fx = shares[x];
          int i = y0 * Panorama.WIDTH + columns[x];
          int j = i + Panorama.WIDTH;
          float a00 = (1 - fx) * (1 - fy);
          float a10 = fx * (1 - fy);
          float a01 = (1 - fx) * fy;
          float a11 = fx * fy;
          r = a00 * p[3 * i] + a10 * p[3 * i + 3] + a01 * p[3 * j] + a11 * p[3 * j + 3];
          gr = a00 * p[3 * i + 1] + a10 * p[3 * i + 4] + a01 * p[3 * j + 1] + a11 * p[3 * j + 4];
          b = a00 * p[3 * i + 2] + a10 * p[3 * i + 5] + a01 * p[3 * j + 2] + a11 * p[3 * j + 5];
          float w = place.other[i];
          float v = 1 - w;
          red = v * (g0 * r + g1 * gr + g2 * b);
          green = v * (g3 * r + g4 * gr + g5 * b);
          blue = v * (g6 * r + g7 * gr + g8 * b);
          if (w > 0) {
            red += w * (o[0] * r + o[1] * gr + o[2] * b);
            green += w * (o[3] * r + o[4] * gr + o[5] * b);
            blue += w * (o[6] * r + o[7] * gr + o[8] * b);
          }
        }
        if (alpha > 0) {
          float k = alpha / 255f;
          int un = alpha == 255 ? argb : unpremultiplied(argb, alpha);
          r = Panorama.LINEAR[un >> 16 & 255];
          gr = Panorama.LINEAR[un >> 8 & 255];
          b = Panorama.LINEAR[un & 255];
          red = (1 - k) * red + k * (s[0] * r + s[1] * gr + s[2] * b);
          green = (1 - k) * green + k * (s[3] * r + s[4] * gr + s[5] * b);
          blue = (1 - k) * blue + k * (s[6] * r + s[7] * gr + s[8] * b);
        }
        float luminance = Math.max(1e-6f, 0.2126f * red + 0.7152f * green + 0.0722f * blue);
        float gain =
            bands[at / longSide] * (1 + grain[index(luminance)] * NOISE[(noise + x * 7) & 65535]);
        red *= gain;
        green *= gain;
        blue *= gain;
        linear[3 * at] = red;
        linear[3 * at + 1] = green;
        linear[3 * at + 2] = blue;
        out[at] =
            (table[index(red)] & 255) << 16
                | (table[index(green)] & 255) << 8
                | (table[index(blue)] & 255);
      }
    }
    return new Picture(longSide, shortSide, out);
  }

  /**
   * The last rendered frame in linear light before the tone curve, averaged over blocks.
   *
   * @param block side of a block in pixels; sides that do not divide lose their rest
   * @return red, green, blue, row by row, {@code longSide / block} to a row
   */
  public float[] linearBlocks(int block) {
    int w = longSide / block;
    int h = shortSide / block;
    float[] out = new float[3 * w * h];
    for (int y = 0; y < h * block; y++) {
      for (int x = 0; x < w * block; x++) {
        int to = 3 * (y / block * w + x / block);
        int from = 3 * (y * longSide + x);
        out[to] += linear[from];
        out[to + 1] += linear[from + 1];
        out[to + 2] += linear[from + 2];
      }
    }
    for (int i = 0; i < out.length; i++) {
      out[i] /= block * block;
    }
    return out;
  }

  /**
   * What a centre-weighted light meter sees in a composition, in stops over mid-grey.
   *
   * <p>Surfaces above 1.2 are counted as 1.2: a meter has learned to ignore lamps and windows.
   *
   * @param groundStops light behind the subject against the light on the subject
   */
  public double metered(Composition c, double groundStops) {
    int width = c.portrait() ? shortSide : longSide;
    int height = c.portrait() ? longSide : shortSide;
    int[] figures = figures(c, c.portrait() ? upright : landscape, width, height);
    Panorama place = Gallery.of(c.place());
    double step = c.scale() * 480 / longSide;
    double left = clamp(c.centreX() * Panorama.WIDTH, width * step, Panorama.WIDTH);
    double top = clamp(c.centreY() * Panorama.HEIGHT, height * step, Panorama.HEIGHT);
    double ground = StrictMath.pow(2, groundStops);
    double sum = 0;
    double weights = 0;
    for (int y = 0; y < height; y++) {
      for (int x = 0; x < width; x++) {
        double dx = (x + 0.5) / width - 0.5;
        double dy = (y + 0.5) / height - 0.5;
        double weight = 1.2 - 1.6 * (dx * dx + dy * dy);
        int argb = figures[y * width + x];
        int alpha = argb >>> 24;
        double v = 0;
        if (alpha < 255) {
          int px = (int) Math.max(0, Math.min(Panorama.WIDTH - 1.0, left + x * step));
          int py = (int) Math.max(0, Math.min(Panorama.HEIGHT - 1.0, top + y * step));
          int i = 3 * (py * Panorama.WIDTH + px);
          double bg = 0.2126 * place.rgb[i] + 0.7152 * place.rgb[i + 1] + 0.0722 * place.rgb[i + 2];
          v = Math.min(1.2, ground * bg);
        }
        if (alpha > 0) {
          int un = unpremultiplied(argb, alpha);
          double fg =
              0.2126 * Panorama.LINEAR[un >> 16 & 255]
                  + 0.7152 * Panorama.LINEAR[un >> 8 & 255]
                  + 0.0722 * Panorama.LINEAR[un & 255];
          v += alpha / 255.0 * (fg - v);
        }
        sum += weight * v;
        weights += weight;
      }
    }
    return Light.log2(Math.max(0.005, sum / weights) / ToneCurve.MID_GREY);
  }

  private static int[] figures(Composition c, BufferedImage layer, int width, int height) {
    int[] pixels = ((DataBufferInt) layer.getRaster().getDataBuffer()).getData();
    Arrays.fill(pixels, 0);
    Graphics2D g = layer.createGraphics();
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
    g.setComposite(AlphaComposite.SrcOver);
    c.paint(g, width, height);
    g.dispose();
    return pixels;
  }

  private void grain(double iso) {
    for (int i = 0; i < STEPS; i += 16) {
      float y = Float.intBitsToFloat((i + FLOOR) << 15);
      float sigma = (float) (0.0025 + 0.0035 * StrictMath.sqrt(iso / 100 * 0.18 / (y + 0.01)));
      Arrays.fill(grain, i, i + 16, Math.min(0.25f, sigma));
    }
  }

  private static int index(float v) {
    return v <= 0
        ? 0
        : Math.max(0, Math.min(STEPS - 1, (Float.floatToRawIntBits(v) >> 15) - FLOOR));
  }

  private static int unpremultiplied(int argb, int alpha) {
    int half = alpha / 2;
    int r = Math.min(255, ((argb >> 16 & 255) * 255 + half) / alpha);
    int g = Math.min(255, ((argb >> 8 & 255) * 255 + half) / alpha);
    int b = Math.min(255, ((argb & 255) * 255 + half) / alpha);
    return r << 16 | g << 8 | b;
  }

  private static double clamp(double centre, double size, double whole) {
    return Math.max(0, Math.min(whole - size, centre - size / 2));
  }

  private static float[] floats(Matrix3 m) {
    double[] d = m.rows();
    float[] f = new float[9];
    for (int i = 0; i < 9; i++) {
      f[i] = (float) d[i];
    }
    return f;
  }

  private static long mix(long z) {
    z = (z ^ (z >>> 30)) * 0xBF58476D1CE4E5B9L;
    z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
    return z ^ (z >>> 31);
  }
}
