package samelight.engine.metadata;

import java.nio.charset.StandardCharsets;
import org.jspecify.annotations.Nullable;

/**
 * The value of one directory entry (TIFF 6.0, p. 15), kept as its bytes: it is turned into numbers
 * or text when it is asked for, since most values never are.
 */
final class TagValue {
  static final int TEXT = 2;
  static final int RATIONAL = 5;
  static final int UNDEFINED = 7;
  static final int SIGNED_RATIONAL = 10;

  /** Bytes of a number by type; 0 where the type has no numbers. */
  private static final int[] SIZES = {0, 1, 0, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 0, 0, 0, 8, 8};

  private final long offset;
  private final int bytes;
  private final int type;
  private final boolean bigEndian;
  private final byte[] data;

  /**
   * Makes a value.
   *
   * @param offset where the value lies in the file
   * @param bytes how many bytes it has
   * @param type as the entry says; 16 and 17 are numbers of 64 bits, without and with a sign
   * @param bigEndian the order of its bytes
   * @param data its bytes; empty where only its place is kept
   */
  TagValue(long offset, int bytes, int type, boolean bigEndian, byte[] data) {
    this.offset = offset;
    this.bytes = bytes;
    this.type = type;
    this.bigEndian = bigEndian;
    this.data = data;
  }

  /** Where the value lies in the file. */
  long offset() {
    return offset;
  }

  /** How many bytes it has. */
  int bytes() {
    return bytes;
  }

  /** Bytes of undefined meaning, or null where it is something else. */
  byte @Nullable [] plain() {
    return type == UNDEFINED && data.length == bytes ? data : null;
  }

  /** The numbers, or an empty array. Bytes of undefined meaning count as unsigned numbers. */
  double[] numbers() {
    int size = size();
    double[] d = new double[size == 0 ? 0 : data.length / size];
    for (int i = 0; i < d.length; i++) {
      d[i] = number(i * size);
    }
    return d;
  }

  private int size() {
    return type < SIZES.length ? SIZES[type] : 0;
  }

  private double number(int at) {
    return switch (type) {
      case 3 -> word16(at);
      case 8 -> (short) word16(at);
      case 4 -> unsigned(at);
      case 9 -> word32(at);
      case RATIONAL -> quotient(unsigned(at), unsigned(at + 4));
      case SIGNED_RATIONAL -> quotient(word32(at), word32(at + 4));
      case 6 -> data[at];
      case 11 -> Float.intBitsToFloat(word32(at));
      case 12 -> Double.longBitsToDouble(word64(at));
      case 16, 17 -> word64(at);
      default -> data[at] & 0xFF;
    };
  }

  private static double quotient(long numerator, long denominator) {
    return denominator == 0 ? Double.NaN : (double) numerator / denominator;
  }

  private int word16(int at) {
    int first = data[at] & 0xFF;
    int second = data[at + 1] & 0xFF;
    return bigEndian ? first << 8 | second : second << 8 | first;
  }

  private int word32(int at) {
    int first = word16(at);
    int second = word16(at + 2);
    return bigEndian ? first << 16 | second : second << 16 | first;
  }

  private long unsigned(int at) {
    return word32(at) & 0xFFFF_FFFFL;
  }

  private long word64(int at) {
    long first = unsigned(at);
    long second = unsigned(at + 4);
    return bigEndian ? first << 32 | second : second << 32 | first;
  }

  /** The only or first number, or NaN. */
  double number() {
    int size = size();
    return size == 0 || data.length < size ? Double.NaN : number(0);
  }

  /** A 32-bit number, also where it stands as four bytes. */
  double word() {
    return data.length == 4 && size() == 1 ? unsigned(0) : number();
  }

  /** The text up to its first NUL, without spaces around it, or null where there is none. */
  @Nullable String text() {
    if (type != TEXT && type != UNDEFINED) {
      return null;
    }
    int from = 0;
    while (type == UNDEFINED && from < data.length && data[from] == 0) {
      from++;
    }
    int to = from;
    while (to < data.length && data[to] != 0) {
      to++;
    }
    String s = new String(data, from, to - from, StandardCharsets.UTF_8).strip();
    return s.isEmpty() ? null : s;
  }
}
