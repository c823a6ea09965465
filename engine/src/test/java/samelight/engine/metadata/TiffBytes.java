package samelight.engine.metadata;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.function.Function;

/**
 * A file of directories under construction (TIFF 6.0, section 2), each at a place of its own, with
 * places of values that count from where the caller says: makers' notes need both.
 */
final class TiffBytes {
  private final ByteOrder order;
  private byte[] file = new byte[8];

  /** An entry before it is known where its value lies. */
  static final class Entry {
    private final int tag;
    private final int type;
    private final int count;
    private final Function<ByteOrder, byte[]> value;

    private Entry(int tag, int type, int count, Function<ByteOrder, byte[]> value) {
      this.tag = tag;
      this.type = type;
      this.count = count;
      this.value = value;
    }

    int tag() {
      return tag;
    }
  }

  /**
   * Begins a file whose first directory is to be put at 8.
   *
   * @param marker the word after the byte order: 42, or a maker's own
   */
  TiffBytes(ByteOrder order, int marker) {
    this.order = order;
    byte letter = (byte) (order == ByteOrder.BIG_ENDIAN ? 'M' : 'I');
    byte[] head = ByteBuffer.allocate(8).order(order).put(letter).put(letter).array();
    put(0, ByteBuffer.wrap(head).order(order).putShort(2, (short) marker).putInt(4, 8).array());
  }

  static Entry bytes(int tag, long... values) {
    return new Entry(tag, 1, values.length, o -> numbers(o, 1, values));
  }

  static Entry shorts(int tag, long... values) {
    return new Entry(tag, 3, values.length, o -> numbers(o, 2, values));
  }

  static Entry longs(int tag, long... values) {
    return new Entry(tag, 4, values.length, o -> numbers(o, 4, values));
  }

  static Entry rational(int tag, long numerator, long denominator) {
    return new Entry(tag, 5, 1, o -> numbers(o, 4, numerator, denominator));
  }

  static Entry text(int tag, String text) {
    byte[] value = (text + '\0').getBytes(StandardCharsets.US_ASCII);
    return new Entry(tag, 2, value.length, o -> value);
  }

  static Entry undefined(int tag, byte... value) {
    return new Entry(tag, 7, value.length, o -> value);
  }

  /** Bytes of undefined meaning that lie somewhere else already, more than four. */
  static Entry elsewhere(int tag, int bytes, int place) {
    return new Entry(tag, 7, bytes, o -> numbers(o, 4, place));
  }

  private static byte[] numbers(ByteOrder order, int bytes, long... values) {
    ByteBuffer b = ByteBuffer.allocate(bytes * values.length).order(order);
    for (long v : values) {
      switch (bytes) {
        case 1 -> b.put((byte) v);
        case 2 -> b.putShort((short) v);
        default -> b.putInt((int) v);
      }
    }
    return b.array();
  }

  /** Puts bytes, as far behind what there is as need be. */
  TiffBytes put(int at, byte... bytes) {
    if (at + bytes.length > file.length) {
      file = Arrays.copyOf(file, at + bytes.length);
    }
    System.arraycopy(bytes, 0, file, at, bytes.length);
    return this;
  }

  /**
   * Puts a directory, its values behind it.
   *
   * @param base where in the file places count from
   * @return where its values end
   */
  int directory(int at, int base, Entry... entries) {
    int behind = at + 2 + 12 * entries.length + 4;
    ByteBuffer b = ByteBuffer.allocate(behind - at).order(order).putShort((short) entries.length);
    for (Entry e : entries) {
      byte[] value = e.value.apply(order);
      b.putShort((short) e.tag).putShort((short) e.type).putInt(e.count);
      if (value.length <= 4) {
        b.put(Arrays.copyOf(value, 4));
      } else {
        b.putInt(behind - base);
        put(behind, value);
        behind += value.length + value.length % 2;
      }
    }
    put(at, b.array());
    return behind;
  }

  byte[] file() {
    return file.clone();
  }

  int length() {
    return file.length;
  }
}
