package samelight.samples.file;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;

/** A camera's JPEG: Exif in APP1 with a thumbnail in IFD1, then the picture. */
public final class JpegFile {

  private static final int LARGEST_SEGMENT = 65533;

  private JpegFile() {}

  /**
   * Bytes of the file.
   *
   * @param order byte order of its Exif block; makers differ
   */
  public static byte[] encode(
      FrameTags tags, Picture picture, JpegEncoder encoder, ByteOrder order) {
    byte[] thumbnail = encoder.encode(picture.reduced(160), 0.8f);
    byte[] exif =
        ExifBlock.first(tags)
            .rationals(0x011A, 72, 1)
            .rationals(0x011B, 72, 1)
            .shorts(0x0128, 2)
            .shorts(0x0213, 1)
            .child(
                0x8769,
                ExifBlock.exif(tags)
                    .undefined(0x9101, new byte[] {1, 2, 3, 0})
                    .undefined(0xA000, new byte[] {'0', '1', '0', '0'})
                    .shorts(0xA001, 1)
                    .longs(0xA002, picture.width())
                    .longs(0xA003, picture.height()))
            .next(
                new Ifd()
                    .shorts(0x0103, 6)
                    .shorts(0x0112, tags.orientation())
                    .rationals(0x011A, 72, 1)
                    .rationals(0x011B, 72, 1)
                    .shorts(0x0128, 2)
                    .blob(0x0201, 0x0202, thumbnail))
            .encode(order);
    byte[] jpeg = encoder.encode(picture, 0.88f);
    int skip = 2;
    if ((jpeg[2] & 255) == 0xFF && (jpeg[3] & 255) == 0xE0) {
      skip += 2 + (((jpeg[4] & 255) << 8) | (jpeg[5] & 255)); // Exif files carry no JFIF header
    }
    int length = 2 + 6 + exif.length;
    if (length > LARGEST_SEGMENT) {
      throw new IllegalStateException("an Exif segment holds 65533 bytes, got " + length);
    }
    return ByteBuffer.allocate(2 + 2 + length + jpeg.length - skip)
        .putShort((short) 0xFFD8)
        .putShort((short) 0xFFE1)
        .putShort((short) length)
        .put(new byte[] {'E', 'x', 'i', 'f', 0, 0})
        .put(exif)
        .put(jpeg, skip, jpeg.length - skip)
        .array();
  }
}
