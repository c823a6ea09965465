package samelight.engine.report;

import java.awt.image.BufferedImage;
import java.awt.image.DataBufferByte;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Base64;
import javax.imageio.IIOImage;
import javax.imageio.ImageIO;
import javax.imageio.ImageWriteParam;
import javax.imageio.ImageWriter;
import javax.imageio.stream.MemoryCacheImageOutputStream;
import samelight.engine.frame.SmallImage;

/**
 * A small image turned upright, as a JPEG in a data URI (RFC 2397). One larger than {@value
 * #LONGEST} pixels is reduced by a whole number, each pixel the mean of those it stands for.
 *
 * @param uri the data URI
 * @param width pixels, upright
 * @param height pixels, upright
 */
record Thumbnail(String uri, int width, int height) {
  /** Pixels of the longer side at most. */
  static final int LONGEST = 128;

  /** Makes thumbnails; for use by one thread. */
  static final class Maker implements AutoCloseable {
    private final ImageWriter writer = ImageIO.getImageWritersByFormatName("jpeg").next();
    private final ImageWriteParam param;

    /**
     * Begins.
     *
     * @param quality of the JPEG, 0 to 1
     */
    Maker(float quality) {
      param = writer.getDefaultWriteParam();
      param.setCompressionMode(ImageWriteParam.MODE_EXPLICIT);
      param.setCompressionQuality(quality);
    }

    /** The thumbnail of an image with this Exif Orientation. */
    Thumbnail make(SmallImage image, int orientation, int longest) {
      BufferedImage upright = upright(reduced(image, longest), orientation);
      String uri = "data:image/jpeg;base64," + Base64.getEncoder().encodeToString(jpeg(upright));
      return new Thumbnail(uri, upright.getWidth(), upright.getHeight());
    }

    private byte[] jpeg(BufferedImage upright) {
      ByteArrayOutputStream bytes = new ByteArrayOutputStream(4096);
      try (MemoryCacheImageOutputStream out = new MemoryCacheImageOutputStream(bytes)) {
        writer.setOutput(out);
        writer.write(null, new IIOImage(upright, null, null), param);
        out.flush();
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
      return bytes.toByteArray();
    }

    @Override
    public void close() {
      writer.dispose();
    }
  }

  /** An image turned upright, as a JPEG file. */
  static byte[] jpeg(SmallImage image, int orientation, float quality) {
    try (Maker maker = new Maker(quality)) {
      return maker.jpeg(upright(image, orientation));
    }
  }

  /** The image itself if it is small enough. */
  static SmallImage reduced(SmallImage image, int most) {
    int longest = Math.max(image.width(), image.height());
    int by = (longest + most - 1) / most;
    if (by == 1) {
      return image;
    }
    int w = (image.width() + by - 1) / by;
    int h = (image.height() + by - 1) / by;
    byte[] from = image.rgb();
    byte[] to = new byte[w * h * 3];
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        int right = Math.min((x + 1) * by, image.width());
        int below = Math.min((y + 1) * by, image.height());
        for (int channel = 0; channel < 3; channel++) {
          int sum = 0;
          for (int v = y * by; v < below; v++) {
            for (int u = x * by; u < right; u++) {
              sum += from[(v * image.width() + u) * 3 + channel] & 0xFF;
            }
          }
          int n = (right - x * by) * (below - y * by);
          to[(y * w + x) * 3 + channel] = (byte) ((sum + n / 2) / n);
        }
      }
    }
    return new SmallImage(w, h, to);
  }

  /** Turned as Exif Orientation (Exif 2.2, tag 0x0112) says: 1 to 8. */
  static BufferedImage upright(SmallImage image, int orientation) {
    int w = image.width();
    int h = image.height();
    boolean onItsSide = orientation >= 5;
    BufferedImage out =
        new BufferedImage(onItsSide ? h : w, onItsSide ? w : h, BufferedImage.TYPE_3BYTE_BGR);
    byte[] to = ((DataBufferByte) out.getRaster().getDataBuffer()).getData();
    byte[] from = image.rgb();
    int stride = out.getWidth();
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        int toX =
            switch (orientation) {
              case 2, 3 -> w - 1 - x;
              case 5, 8 -> y;
              case 6, 7 -> h - 1 - y;
              default -> x;
            };
        int toY =
            switch (orientation) {
              case 3, 4 -> h - 1 - y;
              case 5, 6 -> x;
              case 7, 8 -> w - 1 - x;
              default -> y;
            };
        int source = (y * w + x) * 3;
        int target = (toY * stride + toX) * 3;
        to[target] = from[source + 2];
        to[target + 1] = from[source + 1];
        to[target + 2] = from[source];
      }
    }
    return out;
  }
}
