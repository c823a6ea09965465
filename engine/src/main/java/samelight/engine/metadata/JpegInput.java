package samelight.engine.metadata;

import java.io.EOFException;
import java.io.IOException;
import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteOrder;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/** The bytes of a JPEG, as markers and as bits (ITU-T T.81, Annex B and F.2.2.5). */
final class JpegInput {
  private static final int BUFFER = 1 << 16;

  private static final VarHandle WORD =
      MethodHandles.byteArrayViewVarHandle(int[].class, ByteOrder.BIG_ENDIAN);

  private final ByteSource source;
  private final byte[] buffer;
  private final long end;
  private long position;
  private int at;
  private int limit;

  private int left;

  private long bits;
  private int count;
  private boolean markerAhead;
  private int padded;
  private int value;
  private int pendingMarker = -1;
  private int pushed = -1;

  JpegInput(ByteSource source, long offset, long length) throws IOException {
    this.source = source;
    this.position = offset;
    this.end = Math.min(source.length(), offset + length);
    this.buffer = new byte[(int) Math.max(0, Math.min(BUFFER, end - offset))];
    refill();
  }

  /** The next byte. */
  int next() throws IOException {
    int b = raw();
    if (b < 0) {
      throw new EOFException("JPEG data end at " + end);
    }
    left--;
    return b;
  }

  private int raw() throws IOException {
    if (at == limit && !refill()) {
      return -1;
    }
    return buffer[at++] & 0xFF;
  }

  /** Reads on; whether there was more. */
  private boolean refill() throws IOException {
    int n = (int) Math.min(buffer.length, end - position);
    if (n <= 0) {
      return false;
    }
    source.get(position, buffer, 0, n);
    position += n;
    at = 0;
    limit = n;
    return true;
  }

  /** Goes to the next marker and returns its code. */
  int marker() throws IOException {
    if (pushed >= 0) {
      int m = pushed;
      pushed = -1;
      return m;
    }
    int b = next();
    while (true) {
      while (b != 0xFF) {
        b = next();
      }
      while (b == 0xFF) {
        b = next();
      }
      if (b != 0) {
        return b;
      }
    }
  }

  /** Starts a marker segment: reads its length. */
  void segment() throws IOException {
    int n = next() << 8 | next();
    if (n < 2) {
      throw new ReducedJpeg.Unsupported("segment length " + n);
    }
    left = n - 2;
  }

  /** Bytes left of the segment. */
  int left() {
    return left;
  }

  /** What is left of the segment. */
  byte[] rest() throws IOException {
    byte[] rest = new byte[Math.max(0, left)];
    int here = Math.min(rest.length, limit - at);
    System.arraycopy(buffer, at, rest, 0, here);
    at += here;
    left -= here;
    for (int i = here; i < rest.length; i++) {
      rest[i] = (byte) next();
    }
    return rest;
  }

  /** Skips what is left of the segment. */
  void endSegment() throws IOException {
    if (left < 0) {
      throw new ReducedJpeg.Unsupported("segment shorter than its content");
    }
    int here = Math.min(left, limit - at);
    at += here;
    left -= here;
    if (left > 0) {
      position = Math.min(end, position + left);
      at = 0;
      limit = 0;
      left = 0;
    }
  }

  void startBits() {
    bits = 0;
    count = 0;
    markerAhead = false;
    padded = 0;
  }

  /** Whether more bits were used than there are. */
  boolean exhausted() {
    return padded > 0 && count < padded;
  }

  private void fill() throws IOException {
    if (count <= 32 && at <= limit - 4 && !markerAhead) {
      int four = (int) WORD.get(buffer, at);
      if (!hasFf(four)) {
        at += 4;
        bits = bits << 32 | (four & 0xFFFF_FFFFL);
        count += 32;
        return;
      }
    }
    while (count <= 48) {
      if (!markerAhead && at < limit) {
        int b = buffer[at] & 0xFF;
        if (b != 0xFF) {
          at++;
          bits = (bits << 8) | b;
          count += 8;
          continue;
        }
      }
      bits = (bits << 8) | escaped();
      count += 8;
    }
  }

  /** Whether one of four bytes is 0xFF, after which a zero or a marker comes. */
  private static boolean hasFf(int four) {
    int inverse = ~four;
    return ((inverse - 0x0101_0101) & four & 0x8080_8080) != 0;
  }

  /**
   * Passes over a block's AC coefficients (T.81, F.1.2.2): at 1/8 only the DC counts.
   *
   * @param from place in the zigzag of the first that is passed over, 1 to 63
   */
  void skipCoefficients(HuffmanTable table, int from) throws IOException {
    int k = from;
    while (k < 64) {
      k = skipOne(table, k);
    }
  }

  /**
   * The same by several coefficients at once, for pictures with blocks enough to pay for that.
   *
   * @param steps of the table
   * @param from place in the zigzag of the first coefficient that is passed over, 1 to 63
   */
  void skipCoefficients(HuffmanTable table, short[] steps, int from) throws IOException {
    long b = bits;
    int n = count;
    int k = from;
    while (k < 64) {
      if (n < 32) {
        count = n;
        fill();
        b = bits;
        n = count;
      }
      int step = steps[(int) (b >>> (n - 12)) & 0xFFF];
      int places = step >> 4 & 0xFF;
      if (step == 0 || k + places > 63) {
        // a code of its own length, or the block may end before the last of these codes
        count = n;
        k = skipOne(table, k);
        n = count;
        b = bits;
        continue;
      }
      n -= step & 15;
      k += places;
      if (step >= HuffmanTable.ENDS) {
        break;
      }
    }
    count = n;
  }

  /**
   * Reads a block's AC coefficients (T.81, F.2.2.2).
   *
   * @param table for them
   * @param quant by place in the zigzag
   * @param target by place in the zigzag, where the coefficient goes; -1 for those that don't count
   * @param last the last place whose coefficient counts
   * @param steps of the table, or null where they aren't worth making
   * @param to where coefficients go; set to 0 before the first
   * @return whether none that counts was there, so that {@code to} is as it was
   */
  boolean coefficients(
      HuffmanTable table,
      int[] quant,
      byte[] target,
      int last,
      short @Nullable [] steps,
      float[] to)
      throws IOException {
    boolean flat = true;
    long b = bits;
    int n = count;
    int k = 1;
    while (k <= last) {
      if (n < 32) {
        count = n;
        fill();
        b = bits;
        n = count;
      }
      int next = (int) (b >>> (n - 16)) & 0xFFFF;
      int f = table.fast(next);
      if (f == 0) {
        f = table.slow(next);
      }
      int size = f & 15;
      int run = f >> 4 & 15;
      n -= (f >> 8) + size;
      if (size == 0) {
        k = run == 15 ? k + 16 : 64;
        continue;
      }
      k += run;
      if (k <= last && target[k] >= 0) {
        if (flat) {
          flat = false;
          Arrays.fill(to, 0);
        }
        int v = (int) (b >>> n) & ((1 << size) - 1);
        to[target[k]] = (v < 1 << (size - 1) ? v - (1 << size) + 1 : v) * quant[k];
      }
      k++;
    }
    count = n;
    if (k < 64 && steps != null) {
      skipCoefficients(table, steps, k);
    } else if (k < 64) {
      skipCoefficients(table, k);
    }
    return flat;
  }

  /** The code at the front as {@link HuffmanTable#fast} gives it; nothing is consumed. */
  private int code(HuffmanTable table) throws IOException {
    if (count < 32) {
      fill();
    }
    int next = (int) (bits >>> (count - 16)) & 0xFFFF;
    int f = table.fast(next);
    return f == 0 ? table.slow(next) : f;
  }

  /** Passes over one coefficient; returns the place after it, 64 at the block's end. */
  private int skipOne(HuffmanTable table, int k) throws IOException {
    int f = code(table);
    int size = f & 15;
    int run = f >> 4 & 15;
    count -= (f >> 8) + size;
    return size == 0 && run != 15 ? 64 : k + run + 1;
  }

  /** The next byte where it takes more than looking into the buffer; zeros after the data's end. */
  private int escaped() throws IOException {
    if (!markerAhead) {
      int b = raw();
      if (b >= 0 && b != 0xFF) {
        return b;
      }
      int follows = b;
      while (follows == 0xFF) {
        follows = raw();
      }
      if (follows == 0) {
        return 0xFF;
      }
      markerAhead = true;
      pendingMarker = follows;
    }
    padded += 8;
    return 0;
  }

  /**
   * The next AC coefficient as run and size (T.81, F.1.2.2.1); unless the size is 0, {@link
   * #value()} is its value.
   */
  int coefficient(HuffmanTable table) throws IOException {
    int f = code(table);
    int n = count - (f >> 8);
    int size = f & 15;
    if (size > 0) {
      n -= size;
      int v = (int) (bits >>> n) & ((1 << size) - 1);
      value = v < 1 << (size - 1) ? v - (1 << size) + 1 : v;
    }
    count = n;
    return f & 0xFF;
  }

  /** The value of the coefficient just read (T.81, F.2.2.1, EXTEND). */
  int value() {
    return value;
  }

  /** The next difference of DC coefficients (T.81, F.2.2.1); of more than 15 bits only 15 count. */
  int difference(HuffmanTable table) throws IOException {
    int f = code(table);
    int n = count - (f >> 8);
    int size = Math.min(15, f & 0xFF);
    if (size == 0) {
      count = n;
      return 0;
    }
    n -= size;
    count = n;
    int v = (int) (bits >>> n) & ((1 << size) - 1);
    return v < 1 << (size - 1) ? v - (1 << size) + 1 : v;
  }

  /** Goes on after a restart marker; damaged data up to it are left out. */
  void restart() throws IOException {
    if (!markerAhead) {
      int b = raw();
      while (true) {
        while (b >= 0 && b != 0xFF) {
          b = raw();
        }
        while (b == 0xFF) {
          b = raw();
        }
        if (b < 0) {
          pendingMarker = -1;
          markerAhead = true;
          break;
        }
        if (b != 0) {
          pendingMarker = b;
          markerAhead = true;
          break;
        }
        b = raw();
      }
    }
    boolean restarted = pendingMarker >= 0xD0 && pendingMarker <= 0xD7;
    int marker = pendingMarker;
    startBits();
    if (!restarted) {
      markerAhead = true;
      pendingMarker = marker;
    }
  }

  /** Leaves the bits: the next {@link #marker()} finds what follows. */
  void endBits() {
    if (markerAhead) {
      pushed = pendingMarker;
    }
    startBits();
  }
}
