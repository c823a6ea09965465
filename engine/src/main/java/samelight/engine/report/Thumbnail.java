package samelight.engine.report;

import java.awt.image.BufferedImage;
import java.util.Base64;
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
    private final UprightJpeg jpegs;

    /**
     * Begins.
     *
     * @param quality of the JPEG, 0 to 1
     */
    Maker(float quality) {
      jpegs = new UprightJpeg(quality);
    }

    /** The thumbnail of an image with this Exif Orientation. */
    Thumbnail make(SmallImage image, int orientation, int longest) {
      BufferedImage upright = upright(reduced(image, longest), orientation);
      String uri =
          "data:image/jpeg;base64," + Base64.getEncoder().encodeToString(jpegs.of(upright));
      return new Thumbnail(uri, upright.getWidth(), upright.getHeight());
    }

    @Override
    public void close() {
      jpegs.close();
    }
  }

  /** An image turned upright, as a JPEG file. */
  static byte[] jpeg(SmallImage image, int orientation, float quality) {
    try (UprightJpeg jpegs = new UprightJpeg(quality)) {
      return jpegs.of(upright(image, orientation));
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

  static BufferedImage upright(SmallImage image, int orientation) {
    return UprightJpeg.upright(image.width(), image.height(), image.rgb(), orientation);
  }
}
