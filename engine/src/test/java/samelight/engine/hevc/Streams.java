package samelight.engine.hevc;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;

/** The committed streams and what other decoders make of them. */
public final class Streams {
  /**
   * A stream.
   *
   * @param name of its file, without the ending
   * @param size as width x height
   * @param format of its chroma
   * @param bits of a sample
   * @param sha256 of its planes as other decoders have them
   */
  record Known(String name, String size, String format, int bits, String sha256) {
    @Override
    public String toString() {
      return name;
    }
  }

  private Streams() {}

  static List<Known> all() throws IOException {
    List<Known> all = new ArrayList<>();
    String text = new String(bytes("planes.txt"), StandardCharsets.UTF_8);
    for (String line : text.split("\n", -1)) {
      if (!line.isEmpty() && !line.startsWith("#")) {
        String[] f = line.split(" \\| ", -1);
        all.add(new Known(f[0], f[1], f[2], Integer.parseInt(f[3]), f[5]));
      }
    }
    return all;
  }

  /** Names of all streams. */
  public static List<String> names() throws IOException {
    return all().stream().map(Known::name).toList();
  }

  /** A committed file. */
  static byte[] bytes(String name) throws IOException {
    try (InputStream in = Streams.class.getResourceAsStream(name)) {
      return Objects.requireNonNull(in, name).readAllBytes();
    }
  }

  /** A stream as a file has it: content of an hvcC box, and the item's bytes. */
  @SuppressWarnings("ArrayRecordComponent") // handed on once, never compared
  public record Item(byte[] configuration, byte[] data) {}

  /** A committed stream as a file has it. */
  public static Item item(String name) throws IOException {
    return item(bytes(name + ".hevc"));
  }

  /** Turns start codes ([H.265], Annex B) into lengths. */
  static Item item(byte[] stream) {
    ByteArrayOutputStream sets = new ByteArrayOutputStream();
    ByteArrayOutputStream data = new ByteArrayOutputStream();
    int count = 0;
    for (byte[] unit : split(stream)) {
      if (unit.length == 0) {
        continue;
      }
      int type = unit[0] >> 1 & 63;
      if (type >= 32 && type <= 34) {
        sets.write(type);
        number(sets, 1, 2);
        number(sets, unit.length, 2);
        sets.writeBytes(unit);
        count++;
      } else {
        number(data, unit.length, 4);
        data.writeBytes(unit);
      }
    }
    byte[] head = new byte[23];
    head[0] = 1;
    head[21] = 3;
    head[22] = (byte) count;
    ByteArrayOutputStream box = new ByteArrayOutputStream();
    box.writeBytes(head);
    box.writeBytes(sets.toByteArray());
    return new Item(box.toByteArray(), data.toByteArray());
  }

  private static void number(ByteArrayOutputStream out, int value, int bytes) {
    for (int i = bytes - 1; i >= 0; i--) {
      out.write(value >> (8 * i));
    }
  }

  /** NAL units between start codes. */
  static List<byte[]> split(byte[] stream) {
    List<byte[]> units = new ArrayList<>();
    int start = -1;
    for (int i = 0; i + 2 < stream.length; i++) {
      if (stream[i] == 0 && stream[i + 1] == 0 && stream[i + 2] == 1) {
        if (start >= 0) {
          units.add(unit(stream, start, i));
        }
        start = i + 3;
      }
    }
    if (start >= 0) {
      units.add(unit(stream, start, stream.length));
    }
    return units;
  }

  private static byte[] unit(byte[] stream, int from, int to) {
    int end = to;
    while (end > from && stream[end - 1] == 0) {
      end--;
    }
    return java.util.Arrays.copyOfRange(stream, from, end);
  }
}
