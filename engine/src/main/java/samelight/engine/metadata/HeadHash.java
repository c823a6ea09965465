package samelight.engine.metadata;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

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
    try {
      byte[] digest = MessageDigest.getInstance("SHA-256").digest(head);
      return HexFormat.of().formatHex(digest, 0, 8);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
