package samelight.engine.metadata;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.HexFormat;
import java.util.zip.CRC32;
import java.util.zip.CRC32C;

/** Stamps of files. */
final class HeadHash {
  /** Bytes that are hashed: enough for a camera's time stamp and serial in most formats. */
  static final int BYTES = 4096;

  private HeadHash() {}

  static FileStamp stamp(ByteSource source, long modifiedMillis) {
    return new FileStamp(source.length(), modifiedMillis, hash(source.head(BYTES)));
  }

  /** Reads the head alone. */
  static FileStamp stamp(Path file, long size, long modifiedMillis) throws IOException {
    java.nio.ByteBuffer b = java.nio.ByteBuffer.allocate((int) Math.min(BYTES, size));
    try (FileChannel c = FileChannel.open(file, StandardOpenOption.READ)) {
      while (b.hasRemaining() && c.read(b) >= 0) {}
    }
    return new FileStamp(
        size, modifiedMillis, hash(java.util.Arrays.copyOf(b.array(), b.position())));
  }

  private static String hash(byte[] head) {
    // Against chance, not against malice: two polynomials, since one has 32 bits only.
    CRC32C c = new CRC32C();
    c.update(head, 0, head.length);
    CRC32 d = new CRC32();
    d.update(head, 0, head.length);
    return HexFormat.of().toHexDigits(c.getValue() << 32 | d.getValue());
  }
}
