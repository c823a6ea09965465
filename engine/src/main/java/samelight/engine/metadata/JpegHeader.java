package samelight.engine.metadata;

import java.io.IOException;
import org.jspecify.annotations.Nullable;

/**
 * What the start of a JPEG says: sizes and process.
 *
 * @param width pixels
 * @param height pixels
 * @param process the frame marker's low byte (0xC0 baseline, 0xC2 progressive, 0xC3 lossless)
 * @param components 1 or 3 for a picture
 * @param bits per sample
 */
record JpegHeader(int width, int height, int process, int components, int bits) {

  /** Whether it is a picture that can be decoded, rather than raw data. */
  boolean picture() {
    return (process == 0xC0 || process == 0xC1 || process == 0xC2)
        && bits == 8
        && (components == 1 || components == 3)
        && width > 0
        && height > 0;
  }

  /** The longer side that {@link ReducedJpeg} can give: of a progressive stream only 1/8. */
  int obtainableSide() {
    int longer = Math.max(width, height);
    return process == 0xC2 ? (longer + 7) / 8 : longer;
  }

  /** Reads segments up to the frame header; null where there is none. */
  static @Nullable JpegHeader read(ByteSource source, long offset, long length) throws IOException {
    long end = Math.min(source.length(), offset + length);
    if (end - offset < 4 || source.u8(offset) != 0xFF || source.u8(offset + 1) != 0xD8) {
      return null;
    }
    long at = offset + 2;
    while (at + 4 <= end) {
      source.budget().step();
      if (source.u8(at) != 0xFF) {
        at++;
        continue;
      }
      int marker = source.u8(at + 1);
      if (marker == 0xFF) {
        at++;
        continue;
      }
      if (marker == 0 || marker == 0x01 || (marker >= 0xD0 && marker <= 0xD8)) {
        at += 2;
        continue;
      }
      if (marker == 0xD9 || marker == 0xDA) {
        return null;
      }
      boolean frame =
          (marker >= 0xC0 && marker <= 0xCF) && marker != 0xC4 && marker != 0xC8 && marker != 0xCC;
      if (frame) {
        if (at + 10 > end) {
          return null;
        }
        return new JpegHeader(
            u16(source, at + 7), u16(source, at + 5), marker, source.u8(at + 9), source.u8(at + 4));
      }
      at += 2 + Math.max(2, u16(source, at + 2));
    }
    return null;
  }

  private static int u16(ByteSource source, long at) throws IOException {
    return source.u8(at) << 8 | source.u8(at + 1);
  }
}
