package samelight.engine.files;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** SHA-256 (FIPS 180-4) of a whole content, as 64 lower-case hexadecimal digits. */
public final class ContentHash {
  private ContentHash() {}

  /** The hash of these bytes. */
  public static String of(byte[] bytes) {
    return HexFormat.of().formatHex(digest().digest(bytes));
  }

  /**
   * The hash of a file's bytes.
   *
   * @throws IOException if it can't be read
   */
  public static String of(Path file) throws IOException {
    MessageDigest digest = digest();
    byte[] chunk = new byte[1 << 18];
    try (InputStream in = Files.newInputStream(file)) {
      for (int n = in.read(chunk); n >= 0; n = in.read(chunk)) {
        digest.update(chunk, 0, n);
      }
    }
    return HexFormat.of().formatHex(digest.digest());
  }

  /** A digest to be fed piece by piece. */
  public static MessageDigest digest() {
    try {
      return MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
