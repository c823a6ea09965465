package samelight.engine.metadata;

import java.io.IOException;

/**
 * The private directory of Sony's raw files (DNGPrivateData, 0xC634): it points to a directory that
 * is enciphered with a key beside it. The generator and the register of 127 words are those that
 * ExifTool documents for SR2.
 */
final class SonyPrivate {
  private static final int OFFSET = 0x7200;
  private static final int LENGTH = 0x7201;
  private static final int KEY = 0x7221;
  private static final int MAX_LENGTH = 1 << 18;
  private static final int FRONT = 6144;

  private SonyPrivate() {}

  /** Adds the white-balance levels of the enciphered directory. */
  static void read(SourceReader tiff, TagValue pointer, Collected into) throws IOException {
    double at = pointer.word();
    if (!(at > 0 && at < tiff.getLength() - 14)) {
      return;
    }
    Directory d = new Directory(Directory.Kind.OTHER, 0);
    TagCollector.directory(tiff, (int) at, d);
    double offset = d.number(OFFSET);
    double length = d.number(LENGTH);
    TagValue keyValue = d.get(KEY);
    double key = keyValue == null ? Double.NaN : keyValue.word();
    if (!(offset > 0 && length > 14 && length <= MAX_LENGTH && offset + length <= tiff.getLength())
        || Double.isNaN(key)) {
      return;
    }
    // The levels stand in front; the rest are tables.
    int front = (int) Math.min(length, FRONT);
    byte[] plain = decipher(tiff.getBytes((int) offset, front), (int) (long) key);
    // Offsets in the directory count from the start of the file.
    ByteSource memory = ByteSource.memory(plain, tiff.source().budget());
    SourceReader r = new SourceReader(memory, -(long) offset, (long) offset + plain.length);
    r.setMotorolaByteOrder(tiff.isMotorolaByteOrder());
    into.directories.addAll(
        TagCollector.directory(r, (int) offset, new Directory(Directory.Kind.SUB, 100))
            .directories());
  }

  static byte[] decipher(byte[] data, int key) {
    int[] pad = new int[128];
    int k = key;
    for (int i = 0; i < 4; i++) {
      k = k * 48_828_125 + 1;
      pad[i] = k;
    }
    pad[3] = (pad[3] << 1) | ((pad[0] ^ pad[2]) >>> 31);
    for (int i = 4; i < 127; i++) {
      pad[i] = ((pad[i - 4] ^ pad[i - 2]) << 1) | ((pad[i - 3] ^ pad[i - 1]) >>> 31);
    }
    byte[] out = data.clone();
    for (int i = 127, j = 0; j + 4 <= out.length; i++, j += 4) {
      int word = pad[(i + 1) & 127] ^ pad[(i + 65) & 127];
      pad[i & 127] = word;
      out[j] ^= (byte) (word >>> 24);
      out[j + 1] ^= (byte) (word >>> 16);
      out[j + 2] ^= (byte) (word >>> 8);
      out[j + 3] ^= (byte) word;
    }
    return out;
  }
}
