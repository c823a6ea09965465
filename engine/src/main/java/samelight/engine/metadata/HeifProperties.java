package samelight.engine.metadata;

import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** What a HEIF file says about its items: properties in their order ([HEIF], 9.3). */
final class HeifProperties {
  private static final int MAX_ITEMS = 4096;

  private final List<Box> properties;
  private final Map<Long, List<Integer>> byItem = new HashMap<>();

  private HeifProperties(List<Box> properties) {
    this.properties = properties;
  }

  /**
   * Reads them.
   *
   * @param iprp the box that holds them, or null where there is none
   */
  static HeifProperties read(ByteSource source, @Nullable Box iprp) throws IOException {
    List<Box> boxes = iprp == null ? List.of() : iprp.children(source, 0);
    Box ipco = Box.first(boxes, "ipco");
    HeifProperties p = new HeifProperties(ipco == null ? List.of() : ipco.children(source, 0));
    for (Box b : boxes) {
      if (b.type().equals("ipma") && b.length() >= 8) {
        p.associations(source, b);
      }
    }
    return p;
  }

  private void associations(ByteSource source, Box ipma) throws IOException {
    int version = source.u8(ipma.start());
    boolean wide = (source.u8(ipma.start() + 3) & 1) != 0;
    long entries = Math.min(MAX_ITEMS, Box.u32(source, ipma.start() + 4));
    long at = ipma.start() + 8;
    for (long i = 0; i < entries && at + 3 < ipma.end(); i++) {
      source.budget().step();
      long id = version < 1 ? Box.u16(source, at) : Box.u32(source, at);
      at += version < 1 ? 2 : 4;
      int n = source.u8(at++);
      List<Integer> list = new ArrayList<>();
      for (int k = 0; k < n && at < ipma.end(); k++) {
        list.add(wide ? Box.u16(source, at) & 0x7FFF : source.u8(at) & 0x7F);
        at += wide ? 2 : 1;
      }
      byItem.putIfAbsent(id, list);
    }
  }

  /** An item's properties. */
  List<Box> of(long item) {
    List<Box> list = new ArrayList<>();
    for (int index : byItem.getOrDefault(item, List.of())) {
      if (index >= 1 && index <= properties.size()) {
        list.add(properties.get(index - 1));
      }
    }
    return list;
  }

  /** Width and height of an item as coded (ispe), or null ([HEIF], 6.5.3). */
  int @Nullable [] size(ByteSource source, long item) throws IOException {
    int[] size = null;
    for (Box p : of(item)) {
      if (p.type().equals("ispe") && p.length() >= 12) {
        size =
            new int[] {
              (int) Math.min(1_000_000, Box.u32(source, p.start() + 4)),
              (int) Math.min(1_000_000, Box.u32(source, p.start() + 8))
            };
      }
    }
    return size;
  }

  /** Whether an item says how it is turned or mirrored. */
  boolean saysTurn(long item) {
    return of(item).stream().anyMatch(p -> p.type().equals("irot") || p.type().equals("imir"));
  }

  /**
   * How an item is turned and mirrored for display (irot and imir, [HEIF], 6.5.10 and 6.5.12), as
   * an Exif Orientation.
   */
  int orientation(ByteSource source, long item) throws IOException {
    // Where the axes of the stored picture point when it is shown: right, then down.
    int a = 1;
    int b = 0;
    int c = 0;
    int d = 1;
    for (Box p : of(item)) {
      if (p.length() < 1) {
        continue;
      }
      int value = source.u8(p.start());
      if (p.type().equals("irot")) {
        for (int i = 0; i < (value & 3); i++) {
          // A quarter to the left: right becomes up, down becomes right.
          int upperLeft = a;
          int upperRight = b;
          a = c;
          b = d;
          c = -upperLeft;
          d = -upperRight;
        }
      } else if (p.type().equals("imir") && (value & 1) == 0) {
        c = -c;
        d = -d;
      } else if (p.type().equals("imir")) {
        a = -a;
        b = -b;
      }
    }
    if (b == 0) {
      return a > 0 ? (d > 0 ? 1 : 4) : d > 0 ? 2 : 3;
    }
    return b > 0 ? (c > 0 ? 5 : 8) : c > 0 ? 6 : 7;
  }
}
