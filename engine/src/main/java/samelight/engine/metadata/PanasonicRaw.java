package samelight.engine.metadata;

import java.io.IOException;

/** The JPEG inside an RW2, with its own Exif. */
final class PanasonicRaw {
  private static final int JPG_FROM_RAW = 0x002E;

  private PanasonicRaw() {}

  static void embedded(ByteSource source, Collected into) throws IOException {
    Directory main = into.main();
    TagValue jpeg = main == null ? null : main.get(JPG_FROM_RAW);
    if (jpeg == null || jpeg.bytes() < 1000) {
      return;
    }
    TiffFile.jpeg(source, 0, (double) jpeg.offset(), jpeg.bytes(), into);
    if (source.u8(jpeg.offset()) == 0xFF && source.u8(jpeg.offset() + 1) == 0xD8) {
      JpegFile.segments(source, jpeg.offset(), jpeg.offset() + jpeg.bytes(), into, false);
    }
  }
}
