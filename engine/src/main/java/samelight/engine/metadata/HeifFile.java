package samelight.engine.metadata;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.EmbeddedJpeg;

/**
 * HEIF (ISO/IEC 23008-12): items of a meta box. Read are the Exif and XMP items, the size of the
 * primary item and how it is turned, items that are JPEGs, and thumbnails in HEVC; where the
 * primary item is itself small, it serves as one.
 */
final class HeifFile implements Container {
  private static final int MAX_ITEMS = 4096;
  private static final int MAX_XMP = 1 << 20;
  private static final int MAX_THUMBNAILS = 16;
  private static final Set<String> CODED = Set.of("hvc1", "hev1");
  private static final Set<String> WANTED = Set.of("Exif", "jpeg", "mime");

  private record Place(long offset, long length) {}

  @Override
  public boolean matches(byte[] head) {
    return Box.brand(
        head,
        List.of("heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1", "mif2", "avif"));
  }

  @Override
  public void read(ByteSource source, Collected into) throws IOException {
    Box meta = Box.first(Box.list(source, 0, source.length()), "meta");
    if (meta == null) {
      into.problem("a meta box (HEIF)", "none");
      return;
    }
    List<Box> boxes = meta.children(source, 4);
    Box idat = Box.first(boxes, "idat");
    Map<Long, String> types = types(source, Box.first(boxes, "iinf"));
    Map<Long, Place> places =
        places(source, Box.first(boxes, "iloc"), idat == null ? 0 : idat.start());
    for (Map.Entry<Long, String> e : types.entrySet()) {
      Place p = places.get(e.getKey());
      if (p == null || p.length <= 8) {
        continue;
      }
      boolean wanted = WANTED.contains(e.getValue());
      if (wanted && p.offset > source.length() - p.length) {
        into.problemAt(
            p.offset,
            "item " + e.getKey() + " (" + e.getValue() + ") within the file",
            "it ends at " + (p.offset + p.length) + " of " + source.length());
        continue;
      }
      switch (e.getValue()) {
        case "Exif" -> exif(source, p, into);
        case "jpeg" -> into.previews.add(new EmbeddedJpeg(p.offset, p.length, 0, 0));
        case "mime" -> {
          if (into.xmp == null && source.u8(p.offset) == '<') {
            into.xmp = source.get(p.offset, (int) Math.min(p.length, MAX_XMP));
          }
        }
        default -> {}
      }
    }
    Box pitm = Box.first(boxes, "pitm");
    if (pitm != null && pitm.length() >= 6) {
      long primary = number(source, pitm.start() + 4, source.u8(pitm.start()) == 0 ? 2 : 4);
      HeifProperties properties = HeifProperties.read(source, Box.first(boxes, "iprp"));
      primary(source, properties, primary, into);
      Set<Long> small = thumbnails(source, Box.first(boxes, "iref"), primary);
      small.add(primary);
      for (long item : small) {
        Place p = places.get(item);
        if (p != null && CODED.contains(types.getOrDefault(item, ""))) {
          thumbnail(source, properties, item, p, into);
        }
      }
      into.noPixels = noPixels(types.containsValue("av01"), into.thumbnails.isEmpty());
    }
  }

  private static String noPixels(boolean av1, boolean noneSmall) {
    if (av1) {
      return "pixels in AV1, which isn't decoded";
    }
    return noneSmall ? "a picture in HEVC with no small one beside it" : "none that decodes";
  }

  /** Size and orientation of the primary item. */
  private static void primary(
      ByteSource source, HeifProperties properties, long item, Collected into) throws IOException {
    int[] size = properties.size(source, item);
    if (size != null) {
      into.width = size[0];
      into.height = size[1];
      into.sizeSource = "HEIF ispe";
    }
    if (properties.saysTurn(item)) {
      into.orientation = properties.orientation(source, item);
    }
  }

  private static void thumbnail(
      ByteSource source, HeifProperties properties, long item, Place p, Collected into)
      throws IOException {
    HeifThumbnail t = HeifThumbnail.of(source, properties, item, p.offset, p.length);
    if (t == null) {
      return;
    }
    if (p.offset > source.length() - p.length) {
      into.problemAt(
          p.offset,
          "item " + item + " (HEVC) within the file",
          "it ends at " + (p.offset + p.length) + " of " + source.length());
      return;
    }
    int turned = properties.orientation(source, item);
    int whole = Math.max(1, into.orientation);
    if (turned != whole) {
      into.problemAt(
          p.offset,
          "a thumbnail turned like its picture (irot, imir)",
          "Orientation " + turned + " beside " + whole);
      return;
    }
    into.thumbnails.add(t);
  }

  /** Items that are thumbnails of an item (iref, "thmb"; [HEIF], 6.4.4). */
  private static Set<Long> thumbnails(ByteSource source, @Nullable Box iref, long of)
      throws IOException {
    Set<Long> items = new TreeSet<>();
    if (iref == null || iref.length() < 4) {
      return items;
    }
    int idSize = source.u8(iref.start()) == 0 ? 2 : 4;
    for (Box b : iref.children(source, 4)) {
      if (!b.type().equals("thmb") || b.length() < idSize + 2) {
        continue;
      }
      long from = number(source, b.start(), idSize);
      int count = Box.u16(source, b.start() + idSize);
      long at = b.start() + idSize + 2;
      for (int i = 0; i < count && at + idSize <= b.end(); i++, at += idSize) {
        source.budget().step();
        if (number(source, at, idSize) == of && items.size() < MAX_THUMBNAILS) {
          items.add(from);
        }
      }
    }
    return items;
  }

  private static void exif(ByteSource source, Place p, Collected into) throws IOException {
    // ISO/IEC 23008-12, A.2.1: four bytes say how far the TIFF header is from their end.
    long header = p.offset + 4 + Box.u32(source, p.offset);
    long end = p.offset + p.length;
    if (header + 8 > end) {
      into.problemAt(
          p.offset, "a TIFF header in the Exif item", "it would lie at " + header + " of " + end);
      return;
    }
    TiffFile.embedded(source, header, end - header, into);
  }

  private static Map<Long, String> types(ByteSource source, @Nullable Box iinf) throws IOException {
    Map<Long, String> types = new java.util.TreeMap<>();
    if (iinf == null || iinf.length() < 6) {
      return types;
    }
    int count = source.u8(iinf.start()) == 0 ? 6 : 8;
    for (Box b : iinf.children(source, count)) {
      if (!b.type().equals("infe") || b.length() < 12 || types.size() >= MAX_ITEMS) {
        continue;
      }
      int version = source.u8(b.start());
      if (version == 2) {
        types.put((long) Box.u16(source, b.start() + 4), text(source, b.start() + 8));
      } else if (version == 3 && b.length() >= 14) {
        types.put(Box.u32(source, b.start() + 4), text(source, b.start() + 10));
      }
    }
    return types;
  }

  private static String text(ByteSource source, long at) throws IOException {
    return new String(source.get(at, 4), StandardCharsets.ISO_8859_1);
  }

  /** ISO/IEC 14496-12, 8.11.3; items of several extents are left out. */
  private static Map<Long, Place> places(ByteSource source, @Nullable Box iloc, long idat)
      throws IOException {
    Map<Long, Place> places = new HashMap<>();
    if (iloc == null || iloc.length() < 8) {
      return places;
    }
    int version = source.u8(iloc.start());
    int offsetSize = source.u8(iloc.start() + 4) >> 4;
    int lengthSize = source.u8(iloc.start() + 4) & 15;
    int baseSize = source.u8(iloc.start() + 5) >> 4;
    int indexSize = version == 0 ? 0 : source.u8(iloc.start() + 5) & 15;
    long at = iloc.start() + 6;
    long count = version < 2 ? Box.u16(source, at) : Box.u32(source, at);
    at += version < 2 ? 2 : 4;
    for (long i = 0; i < Math.min(count, MAX_ITEMS) && at + 6 < iloc.end(); i++) {
      source.budget().step();
      long id = version < 2 ? Box.u16(source, at) : Box.u32(source, at);
      at += version < 2 ? 2 : 4;
      int method = 0;
      if (version > 0) {
        method = Box.u16(source, at) & 15;
        at += 2;
      }
      at += 2;
      long base = number(source, at, baseSize);
      at += baseSize;
      int extents = Box.u16(source, at);
      at += 2;
      long step = (long) indexSize + offsetSize + lengthSize;
      if (extents >= 1) {
        long offset = number(source, at + indexSize, offsetSize);
        long length = number(source, at + indexSize + offsetSize, lengthSize);
        long start = base + offset + (method == 1 ? idat : 0);
        if (method <= 1 && start > 0 && length > 0 && extents == 1) {
          places.put(id, new Place(start, length));
        }
      }
      at += extents * step;
    }
    return places;
  }

  private static long number(ByteSource source, long at, int size) throws IOException {
    long v = 0;
    for (int i = 0; i < Math.min(8, size); i++) {
      v = v << 8 | source.u8(at + i);
    }
    return v & Long.MAX_VALUE;
  }
}
