package samelight.engine.copies;

import java.util.Locale;

/** Numbers of bytes for a person, in decimal units. */
public final class ByteCount {
  private ByteCount() {}

  /** Such as "4.2 GB", "12.0 MB" or "1,024 bytes". */
  public static String text(long bytes) {
    return bytes >= 1_000_000_000L
        ? String.format(Locale.ROOT, "%.1f GB", bytes / 1e9)
        : bytes >= 1_000_000
            ? String.format(Locale.ROOT, "%.1f MB", bytes / 1e6)
            : String.format(Locale.ROOT, "%,d bytes", bytes);
  }
}
