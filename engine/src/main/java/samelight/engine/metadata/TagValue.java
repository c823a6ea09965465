package samelight.engine.metadata;

import java.nio.charset.StandardCharsets;
import org.jspecify.annotations.Nullable;

/**
 * The value of one directory entry.
 *
 * @param value {@code String}, {@code long[]}, {@code double[]} or {@code byte[]}; null where only
 *     its place was kept
 * @param offset where the value lies in the file
 * @param bytes how many bytes it has
 */
record TagValue(@Nullable Object value, long offset, int bytes) {

  /** The numbers, or an empty array. Bytes count as unsigned numbers. */
  double[] numbers() {
    if (value instanceof double[] d) {
      return d;
    }
    if (value instanceof long[] l) {
      double[] d = new double[l.length];
      for (int i = 0; i < d.length; i++) {
        d[i] = l[i];
      }
      return d;
    }
    if (value instanceof byte[] b) {
      double[] d = new double[b.length];
      for (int i = 0; i < d.length; i++) {
        d[i] = b[i] & 0xFF;
      }
      return d;
    }
    return new double[0];
  }

  /** The only or first number, or NaN. */
  double number() {
    double[] n = numbers();
    return n.length == 0 ? Double.NaN : n[0];
  }

  /** A 32-bit number, also where it stands as four bytes. */
  double word(boolean bigEndian) {
    double[] n = numbers();
    if (n.length != 4) {
      return number();
    }
    double w = 0;
    for (int i = 0; i < 4; i++) {
      w = w * 256 + n[bigEndian ? i : 3 - i];
    }
    return w;
  }

  /** The text up to its first NUL, without spaces around it, or null where there is none. */
  @Nullable String text() {
    String s;
    if (value instanceof String t) {
      s = t;
    } else if (value instanceof byte[] b) {
      s = new String(b, StandardCharsets.UTF_8);
    } else {
      return null;
    }
    int from = 0;
    while (from < s.length() && s.charAt(from) == 0) {
      from++;
    }
    s = s.substring(from);
    int nul = s.indexOf('\0');
    s = (nul < 0 ? s : s.substring(0, nul)).strip();
    return s.isEmpty() ? null : s;
  }
}
