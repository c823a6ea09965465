package samelight.engine.metadata;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import samelight.engine.frame.CameraNeutral;

/**
 * Fujifilm's RAF: a header that points to a whole JPEG (bytes 84 to 91), to a list of records (92
 * to 99) and to the raw data (100 to 107), all big-endian; as ExifTool documents it.
 */
final class RafFile implements Container {
  private static final byte[] MAGIC = "FUJIFILMCCD-RAW".getBytes(StandardCharsets.US_ASCII);
  private static final int LEVELS = 0x2FF0;
  private static final int MAX_RECORDS = 256;

  @Override
  public boolean matches(byte[] head) {
    return head.length >= MAGIC.length
        && java.util.Arrays.equals(head, 0, MAGIC.length, MAGIC, 0, MAGIC.length);
  }

  @Override
  public void read(ByteSource source, Collected into) throws IOException {
    SourceReader r = new SourceReader(source, 0, source.length());
    long jpeg = r.getUInt32(84);
    long jpegBytes = r.getUInt32(88);
    records(r, into);
    TiffFile.jpeg(source, 0, (double) jpeg, (double) jpegBytes, into);
    if (jpeg + 4 < source.length() && source.u8(jpeg) == 0xFF && source.u8(jpeg + 1) == 0xD8) {
      JpegFile.segments(source, jpeg, Math.min(source.length(), jpeg + jpegBytes), into, false);
    } else {
      into.problemAt(jpeg, "the JPEG of a RAF", "no JPEG there");
    }
    long raw = r.getUInt32(100);
    if (raw > 0 && raw + 8 < source.length()) {
      rawDirectory(source, raw, into);
    }
    if (raw + r.getUInt32(104) > source.length()) {
      into.problemAt(
          raw,
          TiffFile.INSIDE,
          "they end at " + (raw + r.getUInt32(104)) + " of " + source.length());
    }
  }

  private static void records(SourceReader r, Collected into) throws IOException {
    long start = r.getUInt32(92);
    if (start <= 0 || start + 4 > r.getLength()) {
      return;
    }
    int at = (int) start;
    int count = (int) Math.min(MAX_RECORDS, r.getUInt32(at));
    at += 4;
    for (int i = 0; i < count && at + 4 <= r.getLength(); i++) {
      int tag = r.getUInt16(at);
      int size = r.getUInt16(at + 2);
      if (tag == LEVELS && size >= 8) {
        double green = (r.getUInt16(at + 4) + r.getUInt16(at + 8)) / 2.0;
        // G R G B
        CameraNeutral n = MakerWhitePoint.neutral(r.getUInt16(at + 6), green, r.getUInt16(at + 10));
        into.whitePoint = MakerWhitePoint.of(n, 0, "RAF WB_GRGBLevels (0x2FF0)");
      } else if (tag == 0x0111 && size == 4 && into.width == 0) {
        into.height = r.getUInt16(at + 4);
        into.width = r.getUInt16(at + 6);
        into.sizeSource = "RAF cropped size (0x0111)";
      }
      at += 4 + size;
    }
  }

  /** Newer files: a TIFF directory before the raw data; 0xF00E holds G R B levels as shot. */
  private static void rawDirectory(ByteSource source, long raw, Collected into) throws IOException {
    SourceReader tiff = new SourceReader(source, raw, source.length() - raw);
    int order = tiff.getUInt16(0);
    if ((order != 0x4949 && order != 0x4D4D) || into.whitePoint != null) {
      return;
    }
    tiff.setMotorolaByteOrder(order == 0x4D4D);
    TagCollector c =
        TagCollector.directory(
            tiff, tiff.getInt32(4), new Directory(Directory.Kind.OTHER, 0), 0xF000);
    for (Directory d : c.directories()) {
      double[] v = d.numbers(0xF00E);
      if (v.length == 3) {
        into.whitePoint =
            MakerWhitePoint.of(
                MakerWhitePoint.neutral(v[1], v[0], v[2]), 0, "RAF WB_GRBLevels (0xF00E)");
      }
    }
  }
}
