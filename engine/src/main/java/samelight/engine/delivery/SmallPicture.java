package samelight.engine.delivery;

import java.awt.image.BufferedImage;
import java.awt.image.Raster;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Iterator;
import java.util.Optional;
import java.util.concurrent.Semaphore;
import javax.imageio.ImageIO;
import javax.imageio.ImageReader;
import javax.imageio.stream.ImageInputStream;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.SmallImage;
import samelight.engine.metadata.Preview;
import samelight.engine.report.UprightJpeg;

/** Smaller versions of exports: for the page and the contact sheet, and for the web. */
final class SmallPicture {
  /** Pixels of the longer side on the page. */
  static final int SIDE = 400;

  private static final float PAGE_QUALITY = 0.8f;
  private static final float WEB_QUALITY = 0.9f;

  /** Megapixels that are decoded at a time, so that they fit into memory; one larger goes alone. */
  private static final int MOST_MEGAPIXELS = 60;

  private static final Semaphore MEGAPIXELS = new Semaphore(MOST_MEGAPIXELS, true);

  private SmallPicture() {}

  /** Sides in pixels, upright. */
  record Size(int width, int height) {
    static Size within(int width, int height, int side) {
      double scale = Math.min(1, side / (double) Math.max(width, height));
      return new Size(
          (int) Math.max(1, Math.round(width * scale)),
          (int) Math.max(1, Math.round(height * scale)));
    }
  }

  /** Pixels in rows from the top, red, green, blue. */
  private static final class Pixels {
    final int width;
    final int height;
    final byte[] rgb;

    Pixels(int width, int height, byte[] rgb) {
      this.width = width;
      this.height = height;
      this.rgb = rgb;
    }
  }

  /** The size of an export's small picture. */
  static Size size(ExportHead head) {
    boolean turned = head.orientation() >= 5;
    int width = turned ? head.height() : head.width();
    int height = turned ? head.width() : head.height();
    return Size.within(width, height, SIDE);
  }

  /**
   * The small picture of an export, upright, as a JPEG.
   *
   * @return empty where the export can't be decoded to its end
   */
  static Optional<byte[]> page(Path export, ExportHead head) throws IOException {
    Size size = Size.within(head.width(), head.height(), SIDE);
    Preview.Decoded reduced =
        Preview.decode(export, new EmbeddedJpeg(0, head.size(), head.width(), head.height()), 512);
    if (reduced.cut()) {
      return Optional.empty(); // the toolkit would fill the rest with grey
    }
    Pixels small;
    if (reduced.image().isPresent()) {
      SmallImage image = reduced.image().get();
      byte[] rgb = image.rgb();
      int w = image.width();
      Size to = new Size(Math.min(size.width(), w), Math.min(size.height(), image.height()));
      small =
          new Pixels(
              to.width(),
              to.height(),
              LinearLight.scale(
                  (y, row) -> System.arraycopy(rgb, 3 * w * y, row, 0, 3 * w),
                  w,
                  image.height(),
                  to.width(),
                  to.height()));
    } else {
      Optional<Pixels> whole = decode(export, SIDE, true);
      if (whole.isEmpty()) {
        return Optional.empty();
      }
      small = whole.get();
    }
    return Optional.of(encode(small, head.orientation(), PAGE_QUALITY));
  }

  /**
   * An export with at most so many pixels on its longer edge, as a JPEG without metadata; larger
   * ones are made smaller in linear light, none is made larger.
   *
   * @throws IOException if it can't be decoded
   */
  static byte[] web(Path export, ExportHead head, int side) throws IOException {
    Pixels pixels =
        decode(export, side, false)
            .orElseThrow(() -> new IOException(head.path() + " can't be decoded"));
    return encode(pixels, head.orientation(), WEB_QUALITY);
  }

  private static Optional<Pixels> decode(Path export, int side, boolean quick) throws IOException {
    try (ImageInputStream in = ImageIO.createImageInputStream(export.toFile())) {
      Iterator<ImageReader> readers = ImageIO.getImageReadersByFormatName("jpeg");
      ImageReader reader = readers.next();
      try {
        reader.setInput(in, true, true);
        long pixels = (long) reader.getWidth(0) * reader.getHeight(0);
        int needed = (int) Math.min(MOST_MEGAPIXELS, pixels / 1_000_000 + 1);
        MEGAPIXELS.acquireUninterruptibly(needed);
        try {
          return Optional.of(scaled(reader.read(0), side));
        } finally {
          MEGAPIXELS.release(needed);
        }
      } catch (IOException | RuntimeException e) {
        if (quick) {
          return Optional.empty();
        }
        throw e instanceof IOException io ? io : new IOException(String.valueOf(e.getMessage()), e);
      } finally {
        reader.dispose();
      }
    }
  }

  private static Pixels scaled(BufferedImage image, int side) throws IOException {
    Raster raster = image.getRaster();
    int w = raster.getWidth();
    int h = raster.getHeight();
    int bands = raster.getNumBands();
    if (bands != 1 && bands != 3) {
      throw new IOException("a picture must be grey or have three colours, had " + bands);
    }
    Size size = Size.within(w, h, side);
    int[] codes = new int[w * bands];
    byte[] rgb =
        LinearLight.scale(
            (y, row) -> {
              raster.getPixels(0, y, w, 1, codes);
              for (int i = 0; i < row.length; i++) {
                row[i] = (byte) codes[bands == 3 ? i : i / 3];
              }
            },
            w,
            h,
            size.width(),
            size.height());
    return new Pixels(size.width(), size.height(), rgb);
  }

  private static byte[] encode(Pixels p, int orientation, float quality) {
    try (UprightJpeg jpegs = new UprightJpeg(quality)) {
      return jpegs.of(p.width, p.height, p.rgb, orientation);
    }
  }
}
