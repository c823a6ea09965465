package samelight.engine.metadata;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.hevc.ColourSignal;
import samelight.engine.hevc.HevcDecoder;

/**
 * A small picture in HEVC inside a HEIF file.
 *
 * @param offset of its bytes in the file
 * @param length of its bytes
 * @param configuration its hvcC box
 * @param width pixels, cut to what is shown
 * @param height pixels, cut to what is shown
 * @param left where that begins in the decoded picture
 * @param top where that begins in the decoded picture
 * @param colour what the file says about its colours (nclx), or null
 */
record HeifThumbnail(
    long offset,
    long length,
    Box configuration,
    int width,
    int height,
    int left,
    int top,
    @Nullable ColourSignal colour) {
  /** Most bytes: thumbnails in files have 3,000 to 50,000. */
  static final int MAX_LENGTH = 128 << 10;

  private static final int MAX_CONFIGURATION = 16 << 10;

  long pixels() {
    return (long) width * height;
  }

  /**
   * Reads what the file says about an item.
   *
   * @param offset of the item's bytes
   * @param length of them
   * @return null where it is too long or too large, or lacks what it needs
   */
  static @Nullable HeifThumbnail of(
      ByteSource source, HeifProperties properties, long item, long offset, long length)
      throws IOException {
    Box configuration = null;
    Box aperture = null;
    ColourSignal colour = null;
    for (Box p : properties.of(item)) {
      switch (p.type()) {
        case "hvcC" -> configuration = p;
        case "clap" -> aperture = p;
        case "colr" -> colour = colour == null ? colour(source, p) : colour;
        default -> {}
      }
    }
    int[] size = properties.size(source, item);
    if (configuration == null
        || size == null
        || length > MAX_LENGTH
        || (long) size[0] * size[1] > HevcDecoder.MAX_SAMPLES
        || configuration.length() > MAX_CONFIGURATION) {
      return null;
    }
    int[] cut = aperture == null ? null : aperture(source, aperture, size);
    int[] shown = cut == null ? new int[] {0, 0, size[0], size[1]} : cut;
    return new HeifThumbnail(
        offset, length, configuration, shown[2], shown[3], shown[0], shown[1], colour);
  }

  /** An nclx ([ISOBMFF], 12.1.5). */
  private static @Nullable ColourSignal colour(ByteSource source, Box p) throws IOException {
    if (p.length() < 11) {
      return null;
    }
    String type = new String(source.get(p.start(), 4), StandardCharsets.ISO_8859_1);
    if (!type.equals("nclx")) {
      return null;
    }
    return new ColourSignal(
        Box.u16(source, p.start() + 4),
        Box.u16(source, p.start() + 6),
        Box.u16(source, p.start() + 8),
        source.u8(p.start() + 10) >= 0x80);
  }

  /**
   * The clean aperture ([ISOBMFF], 12.1.4): left, top, width, height in whole pixels; null where it
   * doesn't lie within the picture.
   */
  private static int @Nullable [] aperture(ByteSource source, Box p, int[] size)
      throws IOException {
    if (p.length() < 32) {
      return null;
    }
    double[] v = new double[4];
    for (int i = 0; i < 4; i++) {
      int over = source.i32(p.start() + 8L * i, true);
      int under = source.i32(p.start() + 8L * i + 4, true);
      v[i] = (double) over / under;
    }
    long width = Math.round(v[0]);
    long height = Math.round(v[1]);
    long left = Math.round(v[2] + (size[0] - v[0]) / 2);
    long top = Math.round(v[3] + (size[1] - v[1]) / 2);
    boolean inside =
        width >= 1
            && height >= 1
            && left >= 0
            && top >= 0
            && left + width <= size[0]
            && top + height <= size[1];
    return inside ? new int[] {(int) left, (int) top, (int) width, (int) height} : null;
  }

  /** Those of a list whose longer side is enough come first, the smallest of them before all. */
  static List<HeifThumbnail> inOrder(List<HeifThumbnail> all, int side) {
    return all.stream()
        .sorted(
            (a, b) -> {
              int small = Boolean.compare(a.smallerThan(side), b.smallerThan(side));
              int pixels = Long.compare(a.pixels(), b.pixels());
              return small != 0 ? small : a.smallerThan(side) ? -pixels : pixels;
            })
        .toList();
  }

  private boolean smallerThan(int side) {
    return Math.max(width, height) < side;
  }
}
