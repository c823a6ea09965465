package samelight.engine.metadata;

import java.io.IOException;
import java.util.Arrays;
import java.util.concurrent.atomic.AtomicReferenceArray;
import org.jspecify.annotations.Nullable;

/**
 * Decodes a JPEG (ITU-T T.81) at a reduced size: n/8 of its sides with n of 1 to 8, from the lowest
 * frequencies of each block. At 1/8 no inverse transform is left: the DC coefficient is the mean of
 * its block. Baseline, extended sequential and progressive Huffman streams of 8 bits with one or
 * three components are read; of a progressive stream only the first DC scan is, at 1/8.
 *
 * <p>Means of code values are kept exactly at any scale, since the DC coefficient is. Departures
 * from the standard: chroma is replicated where it has fewer samples.
 */
final class ReducedJpeg {
  /** Most pixels of a picture that is decoded: at 1/8 its planes take 19 MB. */
  private static final long MAX_PIXELS = 400_000_000L;

  /** From so many MCUs on a table for passing over several coefficients at once pays. */
  private static final int MANY_MCUS = 1000;

  private static final int[] ZIGZAG = {
    0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5, 12, 19, 26, 33, 40, 48, 41, 34, 27, 20,
    13, 6, 7, 14, 21, 28, 35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51, 58, 59,
    52, 45, 38, 31, 39, 46, 53, 60, 61, 54, 47, 55, 62, 63
  };

  /**
   * What each coefficient adds to the points of a block: for n by n points, 64 pictures of them,
   * normalised so that the mean is DC / 8. Made when first needed.
   */
  private static final AtomicReferenceArray<float @Nullable []> BASIS =
      new AtomicReferenceArray<>(9);

  private static float[] basis(int n) {
    float[] b = BASIS.get(n);
    if (b == null) {
      b = new float[64 * n * n];
      for (int z = 0, at = 0; z < 64; z++) {
        for (int y = 0; y < n; y++) {
          for (int x = 0; x < n; x++) {
            b[at++] = (float) (wave(x, z & 7, n) * wave(y, z >> 3, n) / 8);
          }
        }
      }
      BASIS.set(n, b);
    }
    return b;
  }

  // Square root of 2 times cosines of 22.5, 45 and 67.5 degrees.
  private static final float SQRT2_COS1 = (float) wave(0, 1, 4);
  private static final float SQRT2_COS2 = (float) wave(0, 2, 4);
  private static final float SQRT2_COS3 = (float) wave(1, 1, 4);

  private static double wave(int x, int u, int n) {
    return u == 0 ? 1 : Math.sqrt(2) * Math.cos((2 * x + 1) * u * Math.PI / (2 * n));
  }

  /**
   * A decoded picture.
   *
   * @param width pixels at the reduced size
   * @param height pixels at the reduced size
   * @param fullWidth pixels of the JPEG
   * @param fullHeight pixels of the JPEG
   * @param rgb sRGB code values, rows from the top
   * @param decoded share of the blocks that the data reached, 0 to 1
   */
  @SuppressWarnings("ArrayRecordComponent") // handed on once, never compared
  record Pixels(int width, int height, int fullWidth, int fullHeight, byte[] rgb, double decoded) {}

  /** A stream that isn't one of those that are read. */
  static final class Unsupported extends IOException {
    Unsupported(String message) {
      super(message);
    }
  }

  private static final class Component {
    int id;
    int h;
    int v;
    int quant;
    int dcTable;
    int acTable;
    int planeWidth;
    byte[] plane = new byte[0];
    int previous;
  }

  private final JpegInput in;
  private final Budget budget;
  private final int minSide;

  /** Each by place in the zigzag. */
  private final int[][] quant = new int[4][];

  private final @Nullable HuffmanTable[] dc = new HuffmanTable[4];
  private final @Nullable HuffmanTable[] ac = new HuffmanTable[4];
  private final float[] points = new float[64];
  private final float[] quarter = new float[16];
  private Component[] components = new Component[0];
  private int width;
  private int height;
  private int scale;
  private float[] basis = new float[0];
  private int hMax;
  private int vMax;
  private int mcusWide;
  private int mcusHigh;
  private boolean progressive;
  private int restart;
  private int adobe = -1;
  private boolean jfif;
  private boolean manyBlocks;
  private byte[] target = new byte[0];
  private int lastUsed;
  private int seen;
  private double share = 1;

  /** Only the first component is decoded: of a JFIF or Exif picture its luma. */
  private boolean lumaOnly;

  private ReducedJpeg(JpegInput in, Budget budget, int minSide) {
    this.in = in;
    this.budget = budget;
    this.minSide = minSide;
  }

  /**
   * Decodes a JPEG at the smallest scale whose longer side is at least {@code minSide}, or at full
   * size.
   *
   * @throws Unsupported if the stream isn't one that is read
   * @throws IOException if the data end before the first block, or the budget does
   */
  static Pixels decode(ByteSource source, long offset, long length, int minSide)
      throws IOException {
    return new ReducedJpeg(new JpegInput(source, offset, length), source.budget(), minSide).run();
  }

  /**
   * Decodes the luma alone, at the same scale.
   *
   * @return one code value a pixel in {@link Pixels#rgb}
   * @throws Unsupported if the stream isn't one that is read
   * @throws IOException if the data end before the first block, or the budget does
   */
  static Pixels luma(ByteSource source, long offset, long length, int minSide) throws IOException {
    ReducedJpeg decoder =
        new ReducedJpeg(new JpegInput(source, offset, length), source.budget(), minSide);
    decoder.lumaOnly = true;
    return decoder.run();
  }

  private Pixels run() throws IOException {
    if (in.next() != 0xFF || in.next() != 0xD8) {
      throw new Unsupported("no JPEG start marker");
    }
    while (true) {
      int marker = in.marker();
      switch (marker) {
        case 0xDB -> quantTables();
        case 0xC4 -> huffmanTables();
        case 0xC0, 0xC1, 0xC2 -> frame(marker);
        case 0xDD -> {
          in.segment();
          restart = in.next() << 8 | in.next();
          in.endSegment();
        }
        case 0xE0 -> {
          in.segment();
          jfif = in.left() >= 5 && in.next() == 'J' && in.next() == 'F';
          in.endSegment();
        }
        case 0xEE -> adobeSegment();
        case 0xDA -> {
          double decoded = scan();
          if (decoded >= 0) {
            return colours(decoded);
          }
        }
        case 0xD9 -> throw new Unsupported("JPEG ends before its picture");
        case 0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF ->
            throw new Unsupported(String.format("JPEG process 0x%02X", marker));
        default -> {
          if ((marker >= 0xD0 && marker <= 0xD8) || marker == 0x01) {
            continue;
          }
          in.segment();
          in.endSegment();
        }
      }
    }
  }

  private void adobeSegment() throws IOException {
    in.segment();
    if (in.left() >= 12) {
      byte[] b = new byte[12];
      for (int i = 0; i < 12; i++) {
        b[i] = (byte) in.next();
      }
      if (b[0] == 'A' && b[1] == 'd' && b[2] == 'o') {
        adobe = b[11];
      }
    }
    in.endSegment();
  }

  private void quantTables() throws IOException {
    in.segment();
    byte[] s = in.rest();
    int at = 0;
    while (at < s.length) {
      int pqTq = s[at++] & 0xFF;
      int bytes = pqTq >> 4 == 0 ? 1 : 2;
      inside(s, at + 64 * bytes);
      int[] q = new int[64];
      for (int i = 0; i < 64; i++, at += bytes) {
        q[i] = bytes == 1 ? s[at] & 0xFF : (s[at] & 0xFF) << 8 | (s[at + 1] & 0xFF);
      }
      quant[pqTq & 3] = q;
    }
  }

  private static void inside(byte[] segment, int end) throws Unsupported {
    if (end > segment.length) {
      throw new Unsupported("segment shorter than its content");
    }
  }

  private void huffmanTables() throws IOException {
    in.segment();
    byte[] s = in.rest();
    int at = 0;
    while (at < s.length) {
      int tcTh = s[at++] & 0xFF;
      inside(s, at + 16);
      int[] counts = new int[16];
      int sum = 0;
      for (int i = 0; i < 16; i++) {
        counts[i] = s[at++] & 0xFF;
        sum += counts[i];
      }
      if (sum > 256) {
        throw new Unsupported("Huffman table of " + sum + " codes");
      }
      inside(s, at + sum);
      HuffmanTable t = new HuffmanTable(counts, Arrays.copyOfRange(s, at, at + sum));
      at += sum;
      if (tcTh >> 4 == 0) {
        dc[tcTh & 3] = t;
      } else {
        ac[tcTh & 3] = t;
      }
    }
  }

  private void frame(int marker) throws IOException {
    if (components.length > 0) {
      throw new Unsupported("two pictures in one stream");
    }
    in.segment();
    progressive = marker == 0xC2;
    int precision = in.next();
    height = in.next() << 8 | in.next();
    width = in.next() << 8 | in.next();
    int n = in.next();
    if (precision != 8 || (n != 1 && n != 3)) {
      throw new Unsupported("JPEG of " + n + " components of " + precision + " bits");
    }
    if (width == 0 || height == 0 || (long) width * height > MAX_PIXELS) {
      throw new Unsupported("picture of " + width + " x " + height + " pixels");
    }
    Component[] list = new Component[n];
    for (int i = 0; i < n; i++) {
      Component c = new Component();
      c.id = in.next();
      int hv = in.next();
      c.h = hv >> 4;
      c.v = hv & 15;
      c.quant = in.next() & 3;
      if (c.h < 1 || c.h > 4 || c.v < 1 || c.v > 4) {
        throw new Unsupported("sampling factors " + c.h + " and " + c.v);
      }
      if (n == 1) {
        c.h = 1;
        c.v = 1;
      }
      hMax = Math.max(hMax, c.h);
      vMax = Math.max(vMax, c.v);
      list[i] = c;
    }
    in.endSegment();
    scale = 1;
    while (!progressive && scale < 8 && reduced(Math.max(width, height), scale) < minSide) {
      scale++;
    }
    basis = basis(scale);
    target = target(scale);
    lastUsed = 63;
    while (target[lastUsed] < 0) {
      lastUsed--;
    }
    mcusWide = (width + 8 * hMax - 1) / (8 * hMax);
    mcusHigh = (height + 8 * vMax - 1) / (8 * vMax);
    for (Component c : list) {
      c.planeWidth = mcusWide * c.h * scale;
      if (lumaOnly && c != list[0]) {
        continue;
      }
      long size = (long) c.planeWidth * mcusHigh * c.v * scale;
      if (size > MAX_PIXELS / 8) {
        throw new Unsupported("picture of " + width + " x " + height + " pixels");
      }
      c.plane = new byte[(int) size];
      Arrays.fill(c.plane, (byte) 128);
    }
    components = list;
    manyBlocks = (long) mcusWide * mcusHigh >= MANY_MCUS;
  }

  /**
   * By place in the zigzag, the place of a coefficient in rows of this scale; -1 if it has none.
   */
  private static byte[] target(int scale) {
    byte[] target = new byte[64];
    for (int k = 0; k < 64; k++) {
      int row = ZIGZAG[k] >> 3;
      int column = ZIGZAG[k] & 7;
      target[k] = (byte) (row < scale && column < scale ? row * scale + column : -1);
    }
    return target;
  }

  private static int reduced(int side, int scale) {
    return (side * scale + 7) / 8;
  }

  /** Decodes a scan; -1 where it isn't one that is wanted, so that reading goes on after it. */
  private double scan() throws IOException {
    in.segment();
    int n = in.next();
    if (components.length == 0 || n < 1 || n > components.length) {
      throw new Unsupported("scan of " + n + " components");
    }
    Component[] list = new Component[n];
    for (int i = 0; i < n; i++) {
      int id = in.next();
      int tables = in.next();
      for (Component c : components) {
        if (c.id == id) {
          list[i] = c;
          c.dcTable = tables >> 4 & 3;
          c.acTable = tables & 3;
        }
      }
      if (list[i] == null) {
        throw new Unsupported("scan of component " + id + ", which isn't there");
      }
    }
    int from = in.next();
    in.next();
    int low = in.next() & 15;
    in.endSegment();
    if (progressive && from != 0) {
      return -1;
    }
    double decoded = blocks(list, progressive ? low : 0);
    for (Component c : list) {
      seen |= 1 << Arrays.asList(components).indexOf(c);
    }
    share = Math.min(share, decoded);
    return seen == (1 << components.length) - 1 ? share : -1;
  }

  private double blocks(Component[] list, int low) throws IOException {
    for (Component c : list) {
      c.previous = 0;
      HuffmanTable d = dc[c.dcTable];
      if (d == null || quant[c.quant] == null || (!progressive && ac[c.acTable] == null)) {
        throw new Unsupported("scan without its tables");
      }
    }
    boolean single = list.length == 1;
    Component only = list[0];
    int wide = single ? (((width * only.h + hMax - 1) / hMax) + 7) / 8 : mcusWide;
    int high = single ? (((height * only.v + vMax - 1) / vMax) + 7) / 8 : mcusHigh;
    in.startBits();
    int toRestart = restart;
    for (int y = 0; y < high; y++) {
      budget.checkTime();
      for (int x = 0; x < wide; x++) {
        if (restart > 0 && toRestart == 0) {
          in.restart();
          for (Component c : list) {
            c.previous = 0;
          }
          toRestart = restart;
        }
        toRestart--;
        if (single) {
          block(only, x, y, low);
        } else {
          for (Component c : list) {
            for (int v = 0; v < c.v; v++) {
              for (int h = 0; h < c.h; h++) {
                block(c, x * c.h + h, y * c.v + v, low);
              }
            }
          }
        }
        if (in.exhausted()) {
          return ((double) y * wide + x) / ((double) wide * high);
        }
      }
    }
    in.endBits();
    return 1;
  }

  private void block(Component c, int bx, int by, int low) throws IOException {
    HuffmanTable d = java.util.Objects.requireNonNull(dc[c.dcTable]);
    int[] q = java.util.Objects.requireNonNull(quant[c.quant]);
    c.previous += in.difference(d);
    // The bits that later scans would add are half of their range on the mean.
    float mean = ((c.previous << low) + ((1 << low) - 1) / 2f) * q[0];
    if (lumaOnly && c != components[0]) {
      if (!progressive) {
        skip(c);
      }
      return;
    }
    int side = scale;
    int at = by * side * c.planeWidth + bx * side;
    if (side == 1) {
      if (!progressive) {
        skip(c);
      }
      c.plane[at] = clamp(mean / 8 + 128);
      return;
    }
    boolean four = side == 4;
    float[] p = four ? quarter : points;
    HuffmanTable a = java.util.Objects.requireNonNull(ac[c.acTable]);
    boolean flat =
        (four || side == 2)
            ? in.coefficients(a, q, target, lastUsed, manyBlocks ? a.steps() : null, p)
            : waves(a, q, mean / 8 + 128);
    byte[] plane = c.plane;
    if (flat) {
      byte value = clamp(mean / 8 + 128);
      for (int y = 0; y < side; y++) {
        for (int x = 0; x < side; x++) {
          plane[at + x] = value;
        }
        at += c.planeWidth;
      }
    } else if (four) {
      p[0] = mean;
      four(p, plane, at, c.planeWidth);
    } else if (side == 2) {
      float top = mean + p[2];
      float bottom = mean - p[2];
      float topSlope = p[1] + p[3];
      float bottomSlope = p[1] - p[3];
      plane[at] = clamp((top + topSlope) / 8 + 128);
      plane[at + 1] = clamp((top - topSlope) / 8 + 128);
      at += c.planeWidth;
      plane[at] = clamp((bottom + bottomSlope) / 8 + 128);
      plane[at + 1] = clamp((bottom - bottomSlope) / 8 + 128);
    } else {
      for (int y = 0, i = 0; y < side; y++) {
        for (int x = 0; x < side; x++) {
          plane[at + x] = clamp(p[i++]);
        }
        at += c.planeWidth;
      }
    }
  }

  /** Adds up a block's coefficients as waves; returns whether there are none that count. */
  private boolean waves(HuffmanTable a, int[] q, float start) throws IOException {
    int n = scale * scale;
    boolean flat = true;
    for (int k = 1; k < 64; k++) {
      int rs = in.coefficient(a);
      if ((rs & 15) == 0) {
        if (rs >> 4 != 15) {
          break;
        }
        k += 15;
        continue;
      }
      k += rs >> 4;
      if (k > 63) {
        break;
      }
      if (target[k] < 0) {
        continue;
      }
      if (flat) {
        flat = false;
        Arrays.fill(points, 0, n, start);
      }
      add(points, basis, ZIGZAG[k] * n, n, in.value() * q[k]);
    }
    return flat;
  }

  private void skip(Component c) throws IOException {
    HuffmanTable table = java.util.Objects.requireNonNull(ac[c.acTable]);
    if (manyBlocks) {
      in.skipCoefficients(table, table.steps(), 1);
    } else {
      in.skipCoefficients(table, 1);
    }
  }

  // On its own so that the compiler makes vector instructions of it.
  private static void add(float[] to, float[] basis, int from, int n, int times) {
    for (int i = 0; i < n; i++) {
      to[i] += times * basis[from + i];
    }
  }

  /** The 4 by 4 transform, even and odd parts apart: most thumbnails are read at 4/8. */
  private static void four(float[] p, byte[] plane, int start, int stride) {
    for (int i = 0; i < 4; i++) {
      float even0 = p[i] + p[i + 8] * SQRT2_COS2;
      float even1 = p[i] - p[i + 8] * SQRT2_COS2;
      float odd0 = p[i + 4] * SQRT2_COS1 + p[i + 12] * SQRT2_COS3;
      float odd1 = p[i + 4] * SQRT2_COS3 - p[i + 12] * SQRT2_COS1;
      p[i] = even0 + odd0;
      p[i + 4] = even1 + odd1;
      p[i + 8] = even1 - odd1;
      p[i + 12] = even0 - odd0;
    }
    int at = start;
    for (int i = 0; i < 16; i += 4) {
      float even0 = p[i] + p[i + 2] * SQRT2_COS2;
      float even1 = p[i] - p[i + 2] * SQRT2_COS2;
      float odd0 = p[i + 1] * SQRT2_COS1 + p[i + 3] * SQRT2_COS3;
      float odd1 = p[i + 1] * SQRT2_COS3 - p[i + 3] * SQRT2_COS1;
      plane[at] = clamp((even0 + odd0) / 8 + 128);
      plane[at + 1] = clamp((even1 + odd1) / 8 + 128);
      plane[at + 2] = clamp((even1 - odd1) / 8 + 128);
      plane[at + 3] = clamp((even0 - odd0) / 8 + 128);
      at += stride;
    }
  }

  private static byte clamp(float v) {
    return (byte) (v <= 0 ? 0 : v >= 255 ? 255 : (int) (v + 0.5f));
  }

  private static byte clamp(int in16) {
    int v = in16 >> 16;
    return (byte) (v < 0 ? 0 : Math.min(v, 255));
  }

  private Pixels colours(double decoded) {
    int w = reduced(width, scale);
    int h = reduced(height, scale);
    Component y = components[0];
    if (lumaOnly) {
      byte[] codes = new byte[w * h];
      for (int j = 0; j < h; j++) {
        System.arraycopy(y.plane, j * y.planeWidth, codes, j * w, w);
      }
      return new Pixels(w, h, width, height, codes, decoded);
    }
    byte[] rgb = new byte[w * h * 3];
    if (components.length == 1) {
      for (int j = 0, o = 0; j < h; j++) {
        for (int i = 0; i < w; i++) {
          byte g = y.plane[j * y.planeWidth + i];
          rgb[o++] = g;
          rgb[o++] = g;
          rgb[o++] = g;
        }
      }
      return new Pixels(w, h, width, height, rgb, decoded);
    }
    Component b = components[1];
    Component r = components[2];
    boolean plain = adobe == 0 || (!jfif && adobe < 0 && y.id == 'R' && b.id == 'G' && r.id == 'B');
    int[] yColumn = columns(y, w);
    int[] bColumn = columns(b, w);
    int[] rColumn = columns(r, w);
    for (int j = 0, o = 0; j < h; j++) {
      int yRow = row(y, j);
      int bRow = row(b, j);
      int rRow = row(r, j);
      for (int i = 0; i < w; i++) {
        int yy = y.plane[yRow + yColumn[i]] & 0xFF;
        int bb = b.plane[bRow + bColumn[i]] & 0xFF;
        int rr = r.plane[rRow + rColumn[i]] & 0xFF;
        if (plain) {
          rgb[o++] = (byte) yy;
          rgb[o++] = (byte) bb;
          rgb[o++] = (byte) rr;
          continue;
        }
        // JFIF 1.02, p. 3, in 1/65536.
        int cb = bb - 128;
        int cr = rr - 128;
        int y16 = (yy << 16) + 32768;
        rgb[o++] = clamp(y16 + 91881 * cr);
        rgb[o++] = clamp(y16 - 22554 * cb - 46802 * cr);
        rgb[o++] = clamp(y16 + 116130 * cb);
      }
    }
    return new Pixels(w, h, width, height, rgb, decoded);
  }

  private int row(Component c, int y) {
    return y * c.v / vMax * c.planeWidth;
  }

  private int[] columns(Component c, int w) {
    int[] at = new int[w];
    for (int x = 0; x < w; x++) {
      at[x] = x * c.h / hMax;
    }
    return at;
  }
}
