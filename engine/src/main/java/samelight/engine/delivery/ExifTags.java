package samelight.engine.delivery;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.time.DateTimeException;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.time.format.ResolverStyle;
import java.time.temporal.ChronoField;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * The few Exif tags that matter to a delivery ([EXIF22], TIFF 6.0 section 2): read with bounds,
 * from a block that may be anything, and written anew as a block that holds nothing else.
 */
final class ExifTags {
  static final String SIGNATURE = "Exif\0\0";

  static final int MAKE = 0x010F;
  static final int MODEL = 0x0110;
  static final int ORIENTATION = 0x0112;
  private static final int X_RESOLUTION = 0x011A;
  private static final int Y_RESOLUTION = 0x011B;
  private static final int RESOLUTION_UNIT = 0x0128;
  private static final int POSITIONING = 0x0213;
  static final int DATE = 0x0132;
  static final int ARTIST = 0x013B;
  static final int COPYRIGHT = 0x8298;
  private static final int EXIF = 0x8769;
  static final int TAKEN = 0x9003;
  static final int DIGITISED = 0x9004;
  private static final int SUB_SECONDS = 0x9290;
  static final int SUB_SECONDS_TAKEN = 0x9291;
  private static final int COLOUR_SPACE = 0xA001;
  static final int SERIAL = 0xA431;

  /** Kept where the export has them: dates with their zones and fractions, author, resolution. */
  private static final int[] KEPT_FIRST = {
    X_RESOLUTION, Y_RESOLUTION, RESOLUTION_UNIT, ARTIST, POSITIONING
  };

  private static final int[] KEPT_EXIF = {0x9010, 0x9011, 0x9012, COLOUR_SPACE};

  private static final int ASCII = 2;
  private static final int SHORT = 3;
  private static final int LONG = 4;
  private static final int UNDEFINED = 7;
  private static final int[] SIZES = {0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8};
  private static final int MOST_ENTRIES = 1_000;
  private static final int LONGEST_VALUE = 4_096;

  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("uuuu:MM:dd HH:mm:ss", Locale.ROOT)
          .withResolverStyle(ResolverStyle.STRICT);

  private final Map<Integer, Value> values = new TreeMap<>();

  /** A value in big-endian order. */
  private static final class Value {
    final int type;
    final byte[] bytes;

    Value(int type, byte[] bytes) {
      this.type = type;
      this.bytes = bytes;
    }

    int count() {
      return bytes.length / SIZES[type];
    }
  }

  private ExifTags() {}

  /** None. */
  static ExifTags none() {
    return new ExifTags();
  }

  /** Reads a block after its signature; what can't be understood is left out. */
  static ExifTags read(byte[] data, int at, int length) {
    ExifTags tags = new ExifTags();
    if (length < 8) {
      return tags;
    }
    ByteBuffer b = ByteBuffer.wrap(data, at, length).slice();
    int order = b.getShort(0);
    if (order == 0x4949) {
      b.order(ByteOrder.LITTLE_ENDIAN);
    } else if (order != 0x4D4D) {
      return tags;
    }
    tags.directory(b, b.getInt(4), true);
    Value exif = tags.values.remove(EXIF);
    if (exif != null && exif.bytes.length == 4) {
      tags.directory(b, ByteBuffer.wrap(exif.bytes).getInt(), false);
    }
    return tags;
  }

  private void directory(ByteBuffer b, int at, boolean first) {
    if (at < 8 || at > b.limit() - 2) {
      return;
    }
    int entries = Math.min(MOST_ENTRIES, b.getShort(at) & 0xFFFF);
    for (int i = 0; i < entries; i++) {
      int entry = at + 2 + 12 * i;
      if (entry > b.limit() - 12) {
        return;
      }
      int tag = b.getShort(entry) & 0xFFFF;
      int type = b.getShort(entry + 2) & 0xFFFF;
      long count = b.getInt(entry + 4) & 0xFFFFFFFFL;
      boolean wanted = first == (tag < EXIF || tag == COPYRIGHT || tag == EXIF);
      if (!wanted || type == 0 || type >= SIZES.length || count > LONGEST_VALUE) {
        continue;
      }
      int size = (int) count * SIZES[type];
      int from = size <= 4 ? entry + 8 : b.getInt(entry + 8);
      if (size > LONGEST_VALUE || from < 0 || from > b.limit() - size) {
        continue;
      }
      values.putIfAbsent(tag, new Value(type, bigEndian(b, from, type, size)));
    }
  }

  private static byte[] bigEndian(ByteBuffer b, int from, int type, int size) {
    byte[] out = new byte[size];
    b.get(from, out);
    int unit = type == 5 || type == 10 ? 4 : SIZES[type];
    if (b.order() == ByteOrder.LITTLE_ENDIAN && unit > 1) {
      for (int at = 0; at + unit <= size; at += unit) {
        for (int i = 0; i < unit / 2; i++) {
          byte swap = out[at + i];
          out[at + i] = out[at + unit - 1 - i];
          out[at + unit - 1 - i] = swap;
        }
      }
    }
    return out;
  }

  /** A text without what fills it up, or empty. */
  String text(int tag) {
    Value v = values.get(tag);
    if (v == null || (v.type != ASCII && v.type != 1)) {
      return "";
    }
    String s = new String(v.bytes, StandardCharsets.UTF_8);
    int end = s.indexOf('\0');
    return (end < 0 ? s : s.substring(0, end)).strip();
  }

  /** A whole number, or another where there is none. */
  int number(int tag, int otherwise) {
    Value v = values.get(tag);
    if (v == null || v.bytes.length < SIZES[v.type]) {
      return otherwise;
    }
    return switch (v.type) {
      case SHORT -> ByteBuffer.wrap(v.bytes).getShort() & 0xFFFF;
      case LONG -> ByteBuffer.wrap(v.bytes).getInt();
      default -> otherwise;
    };
  }

  /** When it was taken, with the fraction where there is one, or null. */
  @Nullable LocalDateTime taken() {
    try {
      LocalDateTime time = LocalDateTime.parse(text(TAKEN), TIME);
      String fraction = fraction();
      return fraction.isEmpty()
          ? time
          : time.plusNanos((long) (Double.parseDouble("0." + fraction) * 1e9));
    } catch (DateTimeException e) {
      return null;
    }
  }

  /** Whether {@link #taken} has a fraction of a second. */
  boolean subSecond() {
    return !fraction().isEmpty();
  }

  private String fraction() {
    String s = text(SUB_SECONDS_TAKEN);
    return s.matches("\\d{1,9}") ? s : "";
  }

  /**
   * A block without position, serial numbers, maker's notes and all else that a client's picture
   * doesn't need: dates, author, copyright, resolution, colour space and size.
   *
   * @param taken capture time to write, or null for what stands here
   * @param copyright text, or empty for none
   * @param orientation 1 for upright
   * @return the content of an APP1 segment, signature first
   */
  byte[] reduced(
      @Nullable LocalDateTime taken, String copyright, int width, int height, int orientation) {
    TreeMap<Integer, Value> first = new TreeMap<>();
    TreeMap<Integer, Value> exif = new TreeMap<>();
    keep(KEPT_FIRST, first);
    keep(KEPT_EXIF, exif);
    first.putIfAbsent(X_RESOLUTION, rational(72));
    first.putIfAbsent(Y_RESOLUTION, rational(72));
    first.putIfAbsent(RESOLUTION_UNIT, shorts(2));
    first.putIfAbsent(POSITIONING, shorts(1));
    first.put(ORIENTATION, shorts(orientation));
    LocalDateTime time = taken == null ? taken() : taken;
    if (time != null) {
      String second = TIME.format(time);
      first.put(DATE, ascii(second));
      exif.put(TAKEN, ascii(second));
      exif.put(DIGITISED, ascii(second));
      int millis = time.get(ChronoField.MILLI_OF_SECOND);
      if (millis != 0) {
        String fraction = String.format(Locale.ROOT, "%03d", millis);
        exif.put(SUB_SECONDS, ascii(fraction));
        exif.put(SUB_SECONDS_TAKEN, ascii(fraction));
        exif.put(0x9292, ascii(fraction));
      }
    }
    if (!copyright.isEmpty()) {
      first.put(COPYRIGHT, ascii(copyright));
    }
    exif.put(0x9000, new Value(UNDEFINED, "0232".getBytes(StandardCharsets.US_ASCII)));
    exif.put(0x9101, new Value(UNDEFINED, new byte[] {1, 2, 3, 0}));
    exif.put(0xA000, new Value(UNDEFINED, "0100".getBytes(StandardCharsets.US_ASCII)));
    exif.putIfAbsent(COLOUR_SPACE, shorts(1));
    exif.put(0xA002, longs(width));
    exif.put(0xA003, longs(height));
    first.put(EXIF, longs(8 + size(first) + 12));
    ByteBuffer out = ByteBuffer.allocate(6 + 8 + size(first) + 12 + size(exif));
    out.put(SIGNATURE.getBytes(StandardCharsets.US_ASCII));
    out.putShort((short) 0x4D4D).putShort((short) 42).putInt(8);
    first.put(EXIF, longs(8 + size(first)));
    write(out, first);
    write(out, exif);
    return java.util.Arrays.copyOf(out.array(), out.position());
  }

  private void keep(int[] tags, Map<Integer, Value> to) {
    for (int tag : tags) {
      Value v = values.get(tag);
      if (v != null && v.bytes.length > 0) {
        to.put(tag, v);
      }
    }
  }

  private static int size(Map<Integer, Value> directory) {
    int size = 2 + 12 * directory.size() + 4;
    for (Value v : directory.values()) {
      size += v.bytes.length > 4 ? even(v.bytes.length) : 0;
    }
    return size;
  }

  private static void write(ByteBuffer out, Map<Integer, Value> directory) {
    int start = out.position();
    int base = SIGNATURE.length();
    int at = start - base + 2 + 12 * directory.size() + 4;
    out.putShort((short) directory.size());
    for (Map.Entry<Integer, Value> e : directory.entrySet()) {
      Value v = e.getValue();
      out.putShort((short) (int) e.getKey()).putShort((short) v.type).putInt(v.count());
      if (v.bytes.length <= 4) {
        out.put(v.bytes).put(new byte[4 - v.bytes.length]);
      } else {
        out.putInt(at);
        out.put(base + at, v.bytes);
        at += even(v.bytes.length);
      }
    }
    out.putInt(0);
    out.position(base + at);
  }

  private static int even(int n) {
    return n + (n & 1);
  }

  private static Value ascii(String s) {
    return new Value(ASCII, (s + "\0").getBytes(StandardCharsets.UTF_8));
  }

  private static Value shorts(int n) {
    return new Value(SHORT, new byte[] {(byte) (n >> 8), (byte) n});
  }

  private static Value longs(int n) {
    return new Value(LONG, ByteBuffer.allocate(4).putInt(n).array());
  }

  private static Value rational(int n) {
    return new Value(5, ByteBuffer.allocate(8).putInt(n).putInt(1).array());
  }
}
