package samelight.engine.metadata;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A box of the ISO base media file format (ISO/IEC 14496-12, 4.2). Boxes are listed one level at a
 * time by whoever knows what to expect in them, so that nesting has no depth.
 *
 * @param type four characters
 * @param uuid 32 lower-case hexadecimal digits where the type is "uuid", else empty
 * @param start where the content begins in the file
 * @param end where the box ends; cut at the end of its parent
 */
record Box(String type, String uuid, long start, long end) {
  private static final int MAX_BOXES = 4096;

  /** Bytes of content. */
  long length() {
    return end - start;
  }

  /** Lists the boxes between two places of a file. */
  static List<Box> list(ByteSource source, long from, long to) throws IOException {
    List<Box> boxes = new ArrayList<>();
    long limit = Math.min(to, source.length());
    long at = from;
    while (at + 8 <= limit && boxes.size() < MAX_BOXES) {
      source.budget().step();
      long size = u32(source, at);
      String type = new String(source.get(at + 4, 4), StandardCharsets.ISO_8859_1);
      long start = at + 8;
      if (size == 1) {
        if (at + 16 > limit) {
          break;
        }
        size = u32(source, at + 8) << 32 | u32(source, at + 12);
        start = at + 16;
      } else if (size == 0) {
        size = limit - at;
      }
      if (size < start - at) {
        break;
      }
      long end = size > limit - at ? limit : at + size;
      String uuid = "";
      if (type.equals("uuid") && start + 16 <= end) {
        uuid = java.util.HexFormat.of().formatHex(source.get(start, 16));
        start += 16;
      }
      boxes.add(new Box(type, uuid, start, end));
      at = end;
    }
    return boxes;
  }

  /** The boxes inside this one, after some bytes of its own. */
  List<Box> children(ByteSource source, int skip) throws IOException {
    return list(source, start + skip, end);
  }

  /** The first child of a type, or null. */
  @Nullable Box child(ByteSource source, String childType) throws IOException {
    return first(children(source, 0), childType);
  }

  static @Nullable Box first(List<Box> boxes, String type) {
    for (Box b : boxes) {
      if (b.type.equals(type)) {
        return b;
      }
    }
    return null;
  }

  static long u32(ByteSource source, long at) throws IOException {
    return source.i32(at, true) & 0xFFFF_FFFFL;
  }

  static int u16(ByteSource source, long at) throws IOException {
    return source.u16(at, true);
  }

  /** Whether a file starts with an ftyp box of one of these brands, major or compatible. */
  static boolean brand(byte[] head, List<String> brands) {
    if (head.length < 12 || !new String(head, 4, 4, StandardCharsets.ISO_8859_1).equals("ftyp")) {
      return false;
    }
    for (int at = 8; at + 4 <= head.length; at += at == 8 ? 8 : 4) {
      if (brands.contains(new String(head, at, 4, StandardCharsets.ISO_8859_1))) {
        return true;
      }
    }
    return false;
  }
}
