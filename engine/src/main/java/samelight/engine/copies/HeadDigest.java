package samelight.engine.copies;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.util.HexFormat;
import samelight.engine.files.ContentHash;

/** SHA-256 of the first 64 KiB of a file: tells a file that was copied before from another. */
final class HeadDigest {
  private static final int BYTES = 1 << 16;

  private final MessageDigest digest = ContentHash.digest();
  private int left = BYTES;

  void update(ByteBuffer bytes) {
    if (left > 0) {
      int n = Math.min(left, bytes.remaining());
      digest.update(bytes.limit(bytes.position() + n));
      left -= n;
    }
  }

  /** The hash, and ready for the next file. */
  String end() {
    left = BYTES;
    return HexFormat.of().formatHex(digest.digest());
  }

  static String of(Path file) throws IOException {
    HeadDigest head = new HeadDigest();
    ByteBuffer buffer = ByteBuffer.allocate(BYTES);
    try (FileChannel in = FileChannel.open(file, StandardOpenOption.READ)) {
      while (buffer.hasRemaining() && in.read(buffer) >= 0) {}
    }
    head.update(buffer.flip());
    return head.end();
  }
}
