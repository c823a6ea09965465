package samelight.samples.file;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * A TIFF image file directory under construction (TIFF 6.0, section 2).
 *
 * <p>Entries are sorted by tag as the standard asks. Directories and their values come first in the
 * file, pictures last, so that a reader of the head of a file meets all metadata. Not thread-safe.
 */
public final class Ifd {

  private static final class Entry {
    final int type;
    final int count;
    final byte[] big;
    final byte[] little;

    Entry(int type, int count, byte[] big, byte[] little) {
      this.type = type;
      this.count = count;
      this.big = big;
      this.little = little;
    }
  }

  private static final class Blob {
    final int offsetTag;
    final byte[] bytes;

    Blob(int offsetTag, byte[] bytes) {
      this.offsetTag = offsetTag;
      this.bytes = bytes;
    }
  }

  private final Map<Integer, Entry> entries = new TreeMap<>();
  private final Map<Integer, List<Ifd>> children = new TreeMap<>();
  private final List<Blob> blobs = new ArrayList<>();
  private @Nullable Ifd next;

  /** ASCII with its closing NUL. */
  public Ifd ascii(int tag, String text) {
    byte[] b = (text + '\0').getBytes(StandardCharsets.US_ASCII);
    return put(tag, 2, b.length, b, b);
  }

  /** BYTE values. */
  public Ifd bytes(int tag, int... values) {
    byte[] b = new byte[values.length];
    for (int i = 0; i < b.length; i++) {
      b[i] = (byte) values[i];
    }
    return put(tag, 1, b.length, b, b);
  }

  /** UNDEFINED bytes. */
  public Ifd undefined(int tag, byte[] value) {
    return put(tag, 7, value.length, value.clone(), value.clone());
  }

  /** SHORT values, 0 to 65535. */
  public Ifd shorts(int tag, int... values) {
    ByteBuffer big = ByteBuffer.allocate(2 * values.length);
    ByteBuffer little = ByteBuffer.allocate(2 * values.length).order(ByteOrder.LITTLE_ENDIAN);
    for (int v : values) {
      if (v < 0 || v > 65535) {
        throw new IllegalArgumentException("a TIFF SHORT holds 0 to 65535, got " + v);
      }
      big.putShort((short) v);
      little.putShort((short) v);
    }
    return put(tag, 3, values.length, big.array(), little.array());
  }

  /** LONG values. */
  public Ifd longs(int tag, int... values) {
    return ints(tag, 4, values.length, values);
  }

  /** RATIONAL values as numerator, denominator, numerator, denominator, ... */
  public Ifd rationals(int tag, int... pairs) {
    return ints(tag, 5, pairs.length / 2, pairs);
  }

  /** SRATIONAL values as numerator, denominator, numerator, denominator, ... */
  public Ifd signedRationals(int tag, int... pairs) {
    return ints(tag, 10, pairs.length / 2, pairs);
  }

  /** A pointer to directories of their own. */
  public Ifd child(int tag, Ifd... directories) {
    children.put(tag, List.of(directories));
    return longs(tag, new int[directories.length]);
  }

  /** A block of bytes, its offset under one tag and its length under another, both LONG. */
  public Ifd blob(int offsetTag, int lengthTag, byte[] bytes) {
    blobs.add(new Blob(offsetTag, bytes));
    longs(lengthTag, bytes.length);
    return longs(offsetTag, 0);
  }

  /** The directory that follows this one. */
  public Ifd next(Ifd directory) {
    next = directory;
    return this;
  }

  /** A whole TIFF file that begins with this directory. */
  public byte[] encode(ByteOrder order) {
    List<Ifd> all = new ArrayList<>();
    collect(all);
    IdentityHashMap<Ifd, Integer> place = new IdentityHashMap<>();
    int at = 8;
    for (Ifd d : all) {
      place.put(d, at);
      at += even(d.size());
    }
    for (Ifd d : all) {
      for (Blob b : d.blobs) {
        d.longs(b.offsetTag, at);
        at += even(b.bytes.length);
      }
      for (Map.Entry<Integer, List<Ifd>> c : d.children.entrySet()) {
        d.longs(c.getKey(), c.getValue().stream().mapToInt(place::get).toArray());
      }
    }
    ByteBuffer out = ByteBuffer.allocate(at).order(order);
    out.put((byte) (order == ByteOrder.BIG_ENDIAN ? 'M' : 'I'));
    out.put(out.get(0));
    out.putShort((short) 42).putInt(8);
    for (Ifd d : all) {
      d.write(out, place);
    }
    for (Ifd d : all) {
      for (Blob b : d.blobs) {
        out.put(b.bytes);
        out.position(even(out.position()));
      }
    }
    return out.array();
  }

  private void collect(List<Ifd> all) {
    all.add(this);
    children.values().forEach(list -> list.forEach(c -> c.collect(all)));
    if (next != null) {
      next.collect(all);
    }
  }

  private int size() {
    int size = 2 + 12 * entries.size() + 4;
    for (Entry e : entries.values()) {
      size += e.big.length > 4 ? even(e.big.length) : 0;
    }
    return size;
  }

  private void write(ByteBuffer out, IdentityHashMap<Ifd, Integer> place) {
    int start = out.position();
    out.putShort((short) entries.size());
    int values = start + 2 + 12 * entries.size() + 4;
    for (Map.Entry<Integer, Entry> tagged : entries.entrySet()) {
      Entry e = tagged.getValue();
      byte[] value = out.order() == ByteOrder.BIG_ENDIAN ? e.big : e.little;
      out.putShort((short) (int) tagged.getKey()).putShort((short) e.type).putInt(e.count);
      if (value.length <= 4) {
        out.put(value).put(new byte[4 - value.length]);
      } else {
        out.putInt(values);
        int back = out.position();
        out.position(values);
        out.put(value);
        values += even(value.length);
        out.position(back);
      }
    }
    Integer following = next == null ? null : place.get(next);
    out.putInt(following == null ? 0 : following);
    out.position(start + even(size()));
  }

  private Ifd ints(int tag, int type, int count, int... values) {
    ByteBuffer big = ByteBuffer.allocate(4 * values.length);
    ByteBuffer little = ByteBuffer.allocate(4 * values.length).order(ByteOrder.LITTLE_ENDIAN);
    for (int v : values) {
      big.putInt(v);
      little.putInt(v);
    }
    return put(tag, type, count, big.array(), little.array());
  }

  private Ifd put(int tag, int type, int count, byte[] big, byte[] little) {
    entries.put(tag, new Entry(type, count, big, little));
    return this;
  }

  private static int even(int n) {
    return n + (n & 1);
  }
}
