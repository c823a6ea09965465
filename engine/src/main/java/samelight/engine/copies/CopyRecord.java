package samelight.engine.copies;

import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDateTime;
import org.jspecify.annotations.Nullable;

/**
 * What is known of one copied file.
 *
 * @param path relative to the copied shoot, with {@code /}
 * @param size bytes
 * @param sha256 of all its bytes, 64 lower-case hexadecimal digits
 * @param modifiedMillis last modification on the card, milliseconds since 1970-01-01T00:00Z
 * @param card label of the card
 * @param cardPath path on the card, with {@code /}
 * @param head SHA-256 of its first 64 KiB
 * @param body name of the body's folder, or null where no camera is known
 * @param taken capture time by the body's clock, or null
 * @param copied when its copy was whole on the device
 * @param verified when it was read back and found equal, or null
 * @param readBack where it was read back from
 */
record CopyRecord(
    String path,
    long size,
    String sha256,
    long modifiedMillis,
    String card,
    String cardPath,
    String head,
    @Nullable String body,
    @Nullable LocalDateTime taken,
    Instant copied,
    @Nullable Instant verified,
    ReadBackFrom readBack) {

  /**
   * @throws IllegalArgumentException if a hash isn't 64 hexadecimal digits, the size is negative or
   *     the path leads out of the copied shoot
   */
  CopyRecord {
    if (!Sums.isHash(sha256) || !Sums.isHash(head)) {
      throw new IllegalArgumentException(
          "a hash must be 64 lower-case hexadecimal digits, was " + sha256 + ", " + head);
    }
    Path inside = Path.of(path);
    if (path.isEmpty()
        || inside.getRoot() != null
        || inside.startsWith("..")
        || !inside.normalize().equals(inside)) {
      throw new IllegalArgumentException(
          "a path must lie in the copied shoot and be relative to it, was " + path);
    }
    if (size < 0) {
      throw new IllegalArgumentException("size must be 0 or more, was " + size);
    }
  }

  /** Where a copy was read back from. */
  enum ReadBackFrom {
    /** Not read back yet. */
    NOT_YET,
    /** Past the page cache. */
    DRIVE,
    /** Perhaps from memory: the file system has no reading past the page cache. */
    PERHAPS_CACHE
  }

  CopyRecord verified(Instant at, ReadBackFrom from) {
    return new CopyRecord(
        path, size, sha256, modifiedMillis, card, cardPath, head, body, taken, copied, at, from);
  }

  /** The name without its folders. */
  String fileName() {
    return path.substring(path.lastIndexOf('/') + 1);
  }
}
