package samelight.engine.metadata;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/**
 * What tells that a file is still the one that was read: its size, its time and a hash of its head.
 *
 * @param size bytes
 * @param modifiedMillis last modification, milliseconds since 1970-01-01T00:00Z
 * @param headHash 16 hexadecimal digits: CRC-32C and CRC-32 of the first 4,096 bytes
 */
public record FileStamp(long size, long modifiedMillis, String headHash) {
  /**
   * @throws IllegalArgumentException if the size is negative or the hash isn't 16 hexadecimal
   *     digits
   */
  public FileStamp {
    if (size < 0) {
      throw new IllegalArgumentException("file size must be 0 or more, was " + size);
    }
    boolean hash = headHash.length() == 16;
    for (int i = 0; hash && i < 16; i++) {
      hash = "0123456789abcdef".indexOf(headHash.charAt(i)) >= 0;
    }
    if (!hash) {
      throw new IllegalArgumentException(
          "head hash must be 16 hexadecimal digits, was \"" + headHash + "\"");
    }
  }

  /**
   * The stamp of a file as it is now; reads its head alone.
   *
   * @throws IOException if it can't be read
   */
  public static FileStamp of(Path file) throws IOException {
    return HeadHash.stamp(file, Files.size(file), Files.getLastModifiedTime(file).toMillis());
  }
}
