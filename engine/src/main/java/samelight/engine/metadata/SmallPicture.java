package samelight.engine.metadata;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.SmallImage;
import samelight.engine.hevc.ColourSignal;
import samelight.engine.hevc.HevcDecoder;
import samelight.engine.hevc.HevcException;
import samelight.engine.hevc.HevcPicture;

/**
 * The pixels that measuring and registering need: from the smallest JPEG of a file that is wide
 * enough, else from its smallest thumbnail in HEVC, else from its plain thumbnail. Black bars,
 * which a camera adds where the thumbnail's shape isn't the frame's, are cut off; what is longer
 * than 96 pixels is averaged over areas, in sRGB code values, the space in which a JPEG's DC
 * coefficients are means already.
 */
final class SmallPicture {
  /** Greatest side that is kept. */
  static final int MAX_SIDE = 96;

  /**
   * A longer side that is enough: a thumbnail of 160 pixels is read at half size, without
   * resampling.
   */
  private static final int USABLE_SIDE = 80;

  /** So many thumbnails in HEVC are tried: files have one or two. */
  private static final int MOST_THUMBNAILS = 2;

  /** Code value up to which a row counts as black, on average over the row. */
  private static final int BLACK = 16;

  private SmallPicture() {}

  /**
   * What was found.
   *
   * @param image null where nothing could be decoded
   * @param smallest null where there is no usable JPEG
   * @param largest null where there is no JPEG
   * @param source where the pixels come from, for provenance; empty where there are none
   */
  record Result(
      @Nullable SmallImage image,
      @Nullable EmbeddedJpeg smallest,
      @Nullable EmbeddedJpeg largest,
      String source) {}

  static Result read(ByteSource source, Collected file) throws IOException {
    List<Candidate> usable = candidates(source, file);
    Candidate largest = usable.isEmpty() ? null : usable.get(usable.size() - 1);
    Candidate smallest = largest;
    for (Candidate c : usable) {
      if (c.obtainable >= USABLE_SIDE) {
        smallest = c;
        break;
      }
    }
    Collected.PlainThumbnail plain = file.plain;
    // From the smallest that will do upwards, then what is left, best first.
    List<Candidate> order = new ArrayList<>(usable);
    order.sort(USABLE_FIRST);
    Found found = jpeg(source, file, order, true);
    if (found == null) {
      found = thumbnail(source, file);
    }
    if (found == null) {
      found = plain == null ? jpeg(source, file, order, false) : plain(source, file, plain);
    }
    return new Result(
        found == null ? null : found.image(),
        jpeg(smallest),
        jpeg(largest),
        found == null ? "" : found.source());
  }

  private record Found(SmallImage image, String source) {}

  /** From a JPEG: the first that decodes of those that are wide enough, or of the others. */
  private static @Nullable Found jpeg(
      ByteSource source, Collected file, List<Candidate> order, boolean wide) throws IOException {
    Collected.PlainThumbnail plain = file.plain;
    for (Candidate c : order) {
      EmbeddedJpeg e = c.jpeg;
      if (wide != c.obtainable >= USABLE_SIDE) {
        continue;
      }
      if (plain != null && e.width() > 1.5 * plain.width()) {
        break;
      }
      SmallImage image = decode(source, e, file);
      if (image != null) {
        return new Found(image, "JPEG at " + e.offset() + ", " + e.width() + " x " + e.height());
      }
    }
    return null;
  }

  private static Found plain(ByteSource source, Collected file, Collected.PlainThumbnail plain)
      throws IOException {
    byte[] rgb = source.get(plain.offset(), plain.width() * plain.height() * 3);
    return new Found(
        shrink(rgb, plain.width(), plain.height(), file.width, file.height),
        "RGB at " + plain.offset() + ", " + plain.width() + " x " + plain.height());
  }

  /** From a thumbnail in HEVC: the smallest that is wide enough and decodes. */
  private static @Nullable Found thumbnail(ByteSource source, Collected file) throws IOException {
    int tried = 0;
    for (HeifThumbnail t : HeifThumbnail.inOrder(file.thumbnails, USABLE_SIDE)) {
      if (++tried > MOST_THUMBNAILS) {
        break;
      }
      SmallImage image = decode(source, t, file);
      if (image != null) {
        return new Found(image, "HEVC at " + t.offset() + ", " + t.width() + " x " + t.height());
      }
    }
    return null;
  }

  private static @Nullable SmallImage decode(ByteSource source, HeifThumbnail t, Collected file)
      throws IOException {
    try {
      Box c = t.configuration();
      byte[] configuration = source.get(c.start(), (int) c.length());
      HevcPicture p = HevcDecoder.decode(configuration, source.get(t.offset(), (int) t.length()));
      source.budget().checkTime();
      if (t.left() + t.width() > p.width() || t.top() + t.height() > p.height()) {
        file.problemAt(
            t.offset(),
            "a picture of the size that is said (ispe), " + t.width() + " x " + t.height(),
            p.width() + " x " + p.height());
        return null;
      }
      ColourSignal said = t.colour();
      byte[] rgb = HevcColours.rgb(p, said == null ? p.colour() : said);
      byte[] cut = part(rgb, p.width(), t.left(), t.top(), t.width(), t.height());
      return shrink(cut, t.width(), t.height(), file.width, file.height);
    } catch (HevcException e) {
      file.problemAt(t.offset(), e.rule(), e.actual());
      return null;
    } catch (ReducedJpeg.Unsupported e) {
      file.problemAt(t.offset(), "colours that are known", FrameReader.describe(e));
      return null;
    }
  }

  private record Candidate(EmbeddedJpeg jpeg, int obtainable) {
    long pixels() {
      return (long) jpeg.width() * jpeg.height();
    }

    /** How much too small it is, as an order: 0 where it isn't. */
    int lack() {
      return obtainable < USABLE_SIDE ? USABLE_SIDE - obtainable : 0;
    }
  }

  private static final Comparator<Candidate> BY_SIZE =
      (a, b) -> {
        int pixels = Long.compare(a.pixels(), b.pixels());
        return pixels != 0 ? pixels : Long.compare(a.jpeg.length(), b.jpeg.length());
      };

  private static final Comparator<Candidate> USABLE_FIRST =
      (a, b) -> Integer.compare(a.lack(), b.lack());

  private static @Nullable EmbeddedJpeg jpeg(@Nullable Candidate c) {
    return c == null ? null : c.jpeg;
  }

  /** The JPEGs that can be decoded, smallest first. */
  private static List<Candidate> candidates(ByteSource source, Collected file) throws IOException {
    List<Candidate> usable = new ArrayList<>();
    for (EmbeddedJpeg p : file.previews) {
      if (among(usable, p.offset())) {
        continue;
      }
      JpegHeader h = JpegHeader.read(source, p.offset(), p.length());
      if (h != null && h.picture()) {
        EmbeddedJpeg e = new EmbeddedJpeg(p.offset(), p.length(), h.width(), h.height());
        usable.add(new Candidate(e, h.obtainableSide()));
      }
    }
    usable.sort(BY_SIZE);
    return usable;
  }

  private static boolean among(List<Candidate> candidates, long offset) {
    for (Candidate c : candidates) {
      if (c.jpeg.offset() == offset) {
        return true;
      }
    }
    return false;
  }

  private static @Nullable SmallImage decode(ByteSource source, EmbeddedJpeg e, Collected file)
      throws IOException {
    source.budget().allow(e.length());
    try {
      ReducedJpeg.Pixels p = ReducedJpeg.decode(source, e.offset(), e.length(), USABLE_SIDE);
      if (p.decoded() < 1) {
        file.problemAt(
            e.offset(),
            "an embedded JPEG with all its blocks",
            Math.round(p.decoded() * 100) + " % of them");
        if (p.decoded() < 0.999) {
          return null;
        }
      }
      boolean own = e.offset() == 0;
      return shrink(p.rgb(), p.width(), p.height(), own ? 0 : file.width, own ? 0 : file.height);
    } catch (Budget.Exceeded x) {
      throw x;
    } catch (IOException | RuntimeException x) {
      file.problemAt(e.offset(), "an embedded JPEG that decodes", FrameReader.describe(x));
      return null;
    }
  }

  /** Cuts bars off and averages. */
  static SmallImage shrink(byte[] rgb, int width, int height, int fullWidth, int fullHeight) {
    int[] cut = bars(rgb, width, height, fullWidth, fullHeight);
    int w = width - 2 * cut[0];
    int h = height - 2 * cut[1];
    int longer = Math.max(w, h);
    if (longer <= MAX_SIDE) {
      return new SmallImage(w, h, part(rgb, width, cut[0], cut[1], w, h));
    }
    if (longer / 2 >= USABLE_SIDE && longer / 2 <= MAX_SIDE) {
      return new SmallImage(w / 2, h / 2, half(rgb, width, cut[0], cut[1], w / 2, h / 2));
    }
    int outWidth = (int) Math.max(1, Math.round((double) w * MAX_SIDE / longer));
    int outHeight = (int) Math.max(1, Math.round((double) h * MAX_SIDE / longer));
    return new SmallImage(
        outWidth, outHeight, average(rgb, width, cut[0], cut[1], w, h, outWidth, outHeight));
  }

  /** Averages over areas to a longest side of {@code most} pixels; smaller pictures stay. */
  static SmallImage fit(byte[] rgb, int width, int height, int most) {
    int longer = Math.max(width, height);
    if (longer <= most) {
      return new SmallImage(width, height, rgb);
    }
    int w = (int) Math.max(1, Math.round((double) width * most / longer));
    int h = (int) Math.max(1, Math.round((double) height * most / longer));
    return new SmallImage(w, h, average(rgb, width, 0, 0, width, height, w, h));
  }

  /** Columns and rows to cut at each side. */
  static int[] bars(byte[] rgb, int width, int height, int fullWidth, int fullHeight) {
    int[] none = {0, 0};
    if (fullWidth <= 0 || fullHeight <= 0) {
      return none;
    }
    double shape = (double) fullWidth / fullHeight;
    double rows = (height - width / shape) / 2;
    double columns = (width - height * shape) / 2;
    if (rows >= 1 && rows < height / 2.5) {
      // The row that is part bar goes too.
      int certain = (int) rows;
      int cut = (int) Math.ceil(rows);
      boolean dark =
          dark(rgb, width, 0, width, 0, certain)
              && dark(rgb, width, 0, width, height - certain, height);
      return dark ? new int[] {0, cut} : none;
    }
    if (columns >= 1 && columns < width / 2.5) {
      int certain = (int) columns;
      int cut = (int) Math.ceil(columns);
      boolean dark =
          dark(rgb, width, 0, certain, 0, height)
              && dark(rgb, width, width - certain, width, 0, height);
      return dark ? new int[] {cut, 0} : none;
    }
    return none;
  }

  private static boolean dark(byte[] rgb, int width, int x0, int x1, int y0, int y1) {
    long sum = 0;
    for (int y = y0; y < y1; y++) {
      for (int i = (y * width + x0) * 3; i < (y * width + x1) * 3; i++) {
        sum += rgb[i] & 0xFF;
      }
    }
    return sum <= (long) BLACK * 3 * (x1 - x0) * (y1 - y0);
  }

  private static byte[] part(byte[] rgb, int stride, int left, int top, int w, int h) {
    if (left == 0 && top == 0 && rgb.length == w * h * 3) {
      return rgb;
    }
    byte[] out = new byte[w * h * 3];
    for (int y = 0; y < h; y++) {
      System.arraycopy(rgb, ((top + y) * stride + left) * 3, out, y * w * 3, w * 3);
    }
    return out;
  }

  /** Means over two by two. */
  private static byte[] half(byte[] rgb, int stride, int left, int top, int w, int h) {
    byte[] out = new byte[w * h * 3];
    int next = stride * 3;
    for (int y = 0, o = 0; y < h; y++) {
      int i = ((top + 2 * y) * stride + left) * 3;
      for (int end = o + w * 3; o < end; i += 3) {
        for (int n = 0; n < 3; n++, i++) {
          int sum =
              (rgb[i] & 0xFF)
                  + (rgb[i + 3] & 0xFF)
                  + (rgb[i + next] & 0xFF)
                  + (rgb[i + next + 3] & 0xFF);
          out[o++] = (byte) ((sum + 2) >> 2);
        }
      }
    }
    return out;
  }

  /** Means over areas: first along rows, then down columns, with weights in 1/4096. */
  private static byte[] average(
      byte[] rgb, int stride, int left, int top, int w, int h, int outWidth, int outHeight) {
    byte[] out = new byte[outWidth * outHeight * 3];
    Taps across = Taps.of(w, outWidth);
    Taps down = Taps.of(h, outHeight);
    int[] row = new int[outWidth * 3];
    long[] sum = new long[outWidth * 3];
    int loaded = -1;
    for (int y = 0, o = 0; y < outHeight; y++) {
      java.util.Arrays.fill(sum, 1 << 23);
      for (int t = 0; t < down.count[y]; t++) {
        int source = down.first[y] + t;
        if (source != loaded) {
          across(rgb, ((top + source) * stride + left) * 3, across, row);
          loaded = source;
        }
        add(sum, row, down.weights[y * down.most + t]);
      }
      for (long v : sum) {
        out[o++] = (byte) (v >> 24);
      }
    }
    return out;
  }

  private static void add(long[] sum, int[] row, int weight) {
    for (int i = 0; i < row.length; i++) {
      sum[i] += (long) row[i] * weight;
    }
  }

  private static void across(byte[] rgb, int start, Taps taps, int[] row) {
    for (int x = 0, o = 0; x < taps.first.length; x++) {
      int r = 0;
      int g = 0;
      int b = 0;
      int i = start + taps.first[x] * 3;
      int k = x * taps.most;
      for (int end = k + taps.count[x]; k < end; k++, i += 3) {
        int weight = taps.weights[k];
        r += weight * (rgb[i] & 0xFF);
        g += weight * (rgb[i + 1] & 0xFF);
        b += weight * (rgb[i + 2] & 0xFF);
      }
      row[o++] = r;
      row[o++] = g;
      row[o++] = b;
    }
  }

  /** For each place of a row of means: where it starts, how many it takes, their weights. */
  @SuppressWarnings("ArrayRecordComponent") // tables, never compared
  private record Taps(int[] first, int[] count, int[] weights, int most) {
    static Taps of(int from, int to) {
      int[] first = new int[to];
      int[] count = new int[to];
      int most = from / to + 2;
      int[] weights = new int[to * most];
      double step = (double) from / to;
      for (int i = 0; i < to; i++) {
        double start = i * step;
        double end = Math.min(from, start + step);
        first[i] = (int) start;
        count[i] = (int) Math.ceil(end - 1e-9) - first[i];
        int left = 4096;
        for (int k = 0; k < count[i]; k++) {
          double part = Math.min(first[i] + k + 1, end) - Math.max(first[i] + k, start);
          int weight = k == count[i] - 1 ? left : (int) Math.round(4096 * part / (end - start));
          weights[i * most + k] = weight;
          left -= weight;
        }
      }
      return new Taps(first, count, weights, most);
    }
  }
}
