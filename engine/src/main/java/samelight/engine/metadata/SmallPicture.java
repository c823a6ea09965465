package samelight.engine.metadata;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.SmallImage;

/**
 * The pixels that measuring and registering need: from the smallest JPEG of a file that is wide
 * enough, else from its plain thumbnail. Black bars, which a camera adds where the thumbnail's
 * shape isn't the frame's, are cut off; what is wider than 96 pixels is averaged over areas, in
 * sRGB code values, the space in which a JPEG's DC coefficients are means already.
 */
final class SmallPicture {
  /** Greatest width that is kept. */
  static final int MAX_WIDTH = 96;

  /** A thumbnail narrower than this is used only if there is nothing better. */
  private static final int USABLE_WIDTH = 80;

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
      if (c.obtainable >= USABLE_WIDTH) {
        smallest = c;
        break;
      }
    }
    Collected.PlainThumbnail plain = file.plain;
    // From the smallest that will do upwards, then what is left, best first.
    List<Candidate> order = new ArrayList<>(usable);
    order.sort(
        Comparator.comparing((Candidate c) -> c.obtainable < USABLE_WIDTH)
            .thenComparing(c -> c.obtainable < USABLE_WIDTH ? -c.obtainable : 0));
    for (Candidate c : order) {
      EmbeddedJpeg e = c.jpeg;
      boolean poor = c.obtainable < USABLE_WIDTH || (long) e.width() * e.height() > 512 * 512;
      if (plain != null && poor) {
        break;
      }
      SmallImage image = decode(source, e, file);
      if (image != null) {
        return new Result(
            image,
            jpeg(smallest),
            jpeg(largest),
            "JPEG at " + e.offset() + ", " + e.width() + " x " + e.height());
      }
    }
    if (plain != null) {
      byte[] rgb = source.get(plain.offset(), plain.width() * plain.height() * 3);
      return new Result(
          shrink(rgb, plain.width(), plain.height(), file.width, file.height),
          jpeg(smallest),
          jpeg(largest),
          "RGB at " + plain.offset() + ", " + plain.width() + " x " + plain.height());
    }
    return new Result(null, jpeg(smallest), jpeg(largest), "");
  }

  private record Candidate(EmbeddedJpeg jpeg, int obtainable) {}

  private static @Nullable EmbeddedJpeg jpeg(@Nullable Candidate c) {
    return c == null ? null : c.jpeg;
  }

  /** The JPEGs that can be decoded, smallest first. */
  private static List<Candidate> candidates(ByteSource source, Collected file) throws IOException {
    List<Candidate> usable = new ArrayList<>();
    for (EmbeddedJpeg p : file.previews) {
      if (usable.stream().anyMatch(u -> u.jpeg.offset() == p.offset())) {
        continue;
      }
      JpegHeader h = JpegHeader.read(source, p.offset(), p.length());
      if (h != null && h.picture()) {
        EmbeddedJpeg e = new EmbeddedJpeg(p.offset(), p.length(), h.width(), h.height());
        usable.add(new Candidate(e, h.obtainableWidth()));
      }
    }
    usable.sort(
        Comparator.comparingLong((Candidate c) -> (long) c.jpeg.width() * c.jpeg.height())
            .thenComparingLong(c -> c.jpeg.length()));
    return usable;
  }

  private static @Nullable SmallImage decode(ByteSource source, EmbeddedJpeg e, Collected file)
      throws IOException {
    source.budget().allow(e.length());
    try {
      ReducedJpeg.Pixels p = ReducedJpeg.decode(source, e.offset(), e.length(), MAX_WIDTH);
      if (p.decoded() < 1) {
        file.problem(
            String.format(
                "embedded JPEG at %d complete: %.0f %% of its blocks are there",
                e.offset(), p.decoded() * 100));
        if (p.decoded() < 0.999) {
          return null;
        }
      }
      boolean own = e.offset() == 0;
      return shrink(p.rgb(), p.width(), p.height(), own ? 0 : file.width, own ? 0 : file.height);
    } catch (Budget.Exceeded x) {
      throw x;
    } catch (IOException | RuntimeException x) {
      file.problem("embedded JPEG at " + e.offset() + " decodes: " + x.getMessage());
      return null;
    }
  }

  /** Cuts bars off and averages. */
  static SmallImage shrink(byte[] rgb, int width, int height, int fullWidth, int fullHeight) {
    int[] cut = bars(rgb, width, height, fullWidth, fullHeight);
    int w = width - 2 * cut[0];
    int h = height - 2 * cut[1];
    int outWidth = Math.min(MAX_WIDTH, w);
    int outHeight = (int) Math.max(1, Math.min(512, Math.round((double) h * outWidth / w)));
    return new SmallImage(
        outWidth, outHeight, average(rgb, width, cut[0], cut[1], w, h, outWidth, outHeight));
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
      // The row that is part bar goes too, and one for the blur of the JPEG.
      int certain = (int) rows;
      int cut = (int) Math.ceil(rows) + 1;
      boolean dark =
          dark(rgb, width, 0, width, 0, certain)
              && dark(rgb, width, 0, width, height - certain, height);
      return dark ? new int[] {0, cut} : none;
    }
    if (columns >= 1 && columns < width / 2.5) {
      int certain = (int) columns;
      int cut = (int) Math.ceil(columns) + 1;
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

  private static byte[] average(
      byte[] rgb, int stride, int left, int top, int w, int h, int outWidth, int outHeight) {
    byte[] out = new byte[outWidth * outHeight * 3];
    double sx = (double) w / outWidth;
    double sy = (double) h / outHeight;
    for (int y = 0, o = 0; y < outHeight; y++) {
      double y0 = y * sy;
      double y1 = Math.min(h, y0 + sy);
      for (int x = 0; x < outWidth; x++) {
        double x0 = x * sx;
        double x1 = Math.min(w, x0 + sx);
        double r = 0;
        double g = 0;
        double b = 0;
        double area = 0;
        for (int j = (int) y0; j < y1; j++) {
          double wy = Math.min(j + 1, y1) - Math.max(j, y0);
          int i = ((top + j) * stride + left + (int) x0) * 3;
          for (int k = (int) x0; k < x1; k++, i += 3) {
            double weight = wy * (Math.min(k + 1, x1) - Math.max(k, x0));
            r += weight * (rgb[i] & 0xFF);
            g += weight * (rgb[i + 1] & 0xFF);
            b += weight * (rgb[i + 2] & 0xFF);
            area += weight;
          }
        }
        out[o++] = (byte) (r / area + 0.5);
        out[o++] = (byte) (g / area + 0.5);
        out[o++] = (byte) (b / area + 0.5);
      }
    }
    return out;
  }
}
