package samelight.engine.metadata;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import samelight.engine.frame.EmbeddedJpeg;

/** JPEG with Exif and XMP in APP1 (Exif 2.2, 4.5; ISO 16684-3). */
final class JpegFile implements Container {
  private static final byte[] EXIF = "Exif\0\0".getBytes(StandardCharsets.ISO_8859_1);
  private static final byte[] XMP =
      "http://ns.adobe.com/xap/1.0/\0".getBytes(StandardCharsets.ISO_8859_1);
  private static final byte[] MPF = "MPF\0".getBytes(StandardCharsets.ISO_8859_1);
  private static final int MAX_SEGMENTS = 1000;

  @Override
  public boolean matches(byte[] head) {
    return head.length >= 3
        && (head[0] & 0xFF) == 0xFF
        && (head[1] & 0xFF) == 0xD8
        && (head[2] & 0xFF) == 0xFF;
  }

  @Override
  public void read(ByteSource source, Collected into) throws IOException {
    long end = source.length();
    long scan = 0;
    try {
      scan = segments(source, 0, end, into, true);
    } finally {
      into.previews.add(new EmbeddedJpeg(0, Math.max(1, end), into.width, into.height));
    }
    if (into.width == 0) {
      into.problem("a JPEG frame header (SOF)", "none before the end or the first scan");
    }
    endMarker(source, scan, into);
  }

  /** Walks the segments of a JPEG that lies in a file; returns where it stopped. */
  static long segments(ByteSource source, long offset, long end, Collected into, boolean whole)
      throws IOException {
    long at = offset + 2;
    boolean exif = false;
    for (int n = 0; n < MAX_SEGMENTS && at + 4 <= end; n++) {
      if (source.u8(at) != 0xFF) {
        into.problemAt(at, "a JPEG marker", String.format("byte 0x%02X", source.u8(at)));
        return at;
      }
      int marker = source.u8(at + 1);
      if (marker == 0xFF) {
        at++;
        continue;
      }
      if (marker == 0xD8 || marker == 0x01 || (marker >= 0xD0 && marker <= 0xD7)) {
        at += 2;
        continue;
      }
      if (marker == 0xDA || marker == 0xD9) {
        return at;
      }
      int length = source.u8(at + 2) << 8 | source.u8(at + 3);
      long data = at + 4;
      int size = length - 2;
      if (length < 2 || data + size > end) {
        into.problemAt(at, "a JPEG segment within the file", "its length is " + length);
        size = (int) Math.max(0, Math.min(size, end - data));
      }
      if (marker == 0xE1 && !exif && starts(source, data, size, EXIF)) {
        exif = true;
        TiffFile.embedded(source, data + 6, size - 6, into);
      } else if (marker == 0xE1 && into.xmp == null && starts(source, data, size, XMP)) {
        into.xmp = source.get(data + XMP.length, size - XMP.length);
      } else if (whole && marker == 0xE2 && starts(source, data, size, MPF)) {
        MultiPicture.read(source, data + 4, size - 4, into);
      } else if (whole
          && marker >= 0xC0
          && marker <= 0xCF
          && marker != 0xC4
          && marker != 0xC8
          && marker != 0xCC
          && size >= 5) {
        into.height = source.u8(data + 1) << 8 | source.u8(data + 2);
        into.width = source.u8(data + 3) << 8 | source.u8(data + 4);
        into.sizeSource = "JPEG SOF";
      }
      at += 2 + (long) Math.max(2, length);
    }
    return at;
  }

  private static boolean starts(ByteSource source, long at, int size, byte[] with)
      throws IOException {
    if (size < with.length) {
      return false;
    }
    for (int i = 0; i < with.length; i++) {
      if (source.u8(at + i) != (with[i] & 0xFF)) {
        return false;
      }
    }
    return true;
  }

  private static void endMarker(ByteSource source, long scan, Collected into) throws IOException {
    // A thumbnail's end marker before the scan doesn't count.
    int n = (int) Math.max(0, Math.min(4096, source.length() - scan));
    byte[] tail = source.get(source.length() - n, n);
    for (int i = n - 2; i >= 0; i--) {
      if ((tail[i] & 0xFF) == 0xFF && (tail[i + 1] & 0xFF) == 0xD9) {
        return;
      }
    }
    into.problemAt(
        source.length() - n,
        "a JPEG end marker",
        "none in the last " + n + " bytes, so the picture may be cut off");
  }
}
