package samelight.engine.metadata;

import java.io.IOException;
import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.EmbeddedJpeg;

/**
 * Canon's CR3: ISO base media with directories in a uuid box of moov (CMT1 is IFD0, CMT2 Exif, CMT3
 * the maker's notes), a thumbnail beside them (THMB), a preview in a uuid box of its own (PRVW),
 * the full-size JPEG as the first track, and more maker's notes in a track of timed metadata
 * (CTMD).
 */
final class Cr3File implements Container {
  private static final String CANON = "85c0b687820f11e08111f4ce462b6a48";
  private static final String PREVIEW = "eaf42b5e1c984b88b9fbb7dc406e4d16";
  private static final String XMP = "be7acfcb97a942e89c71999491e3afac";
  private static final int MAX_XMP = 1 << 20;
  private static final int MAX_TIMED = 1 << 18;
  private static final int COLOR_DATA = 0x4001;

  @Override
  public boolean matches(byte[] head) {
    return Box.brand(head, List.of("crx "));
  }

  @Override
  public void read(ByteSource source, Collected into) throws IOException {
    List<Box> top = Box.list(source, 0, source.length());
    Box moov = Box.first(top, "moov");
    if (moov == null) {
      into.problem("a moov box (CR3)", "none");
      return;
    }
    List<Box> inMoov = moov.children(source, 0);
    for (Box b : inMoov) {
      if (b.uuid().equals(CANON)) {
        directories(source, b, into);
      }
    }
    for (Box b : top) {
      if (b.uuid().equals(PREVIEW)) {
        Box prvw = Box.first(b.children(source, 8), "PRVW");
        if (prvw != null) {
          jpegInside(source, prvw, into);
        }
      } else if (b.uuid().equals(XMP)) {
        into.xmp = source.get(b.start(), (int) Math.min(b.length(), MAX_XMP));
      }
    }
    for (Box b : inMoov) {
      if (b.type().equals("trak")) {
        track(source, b, into);
      }
    }
    Box data = Box.first(top, "mdat");
    if (data == null) {
      into.problem("picture data (mdat, CR3)", "none");
    }
  }

  private static void directories(ByteSource source, Box canon, Collected into) throws IOException {
    for (Box b : canon.children(source, 0)) {
      switch (b.type()) {
        case "CMT1" -> tiff(source, b, new Directory(Directory.Kind.MAIN, 0), into);
        case "CMT2" -> tiff(source, b, new Directory(Directory.Kind.EXIF, 0), into);
        case "CMT3" -> tiff(source, b, new Directory(Directory.Kind.MAKER, 0), into);
        case "THMB" -> jpegInside(source, b, into);
        default -> {}
      }
    }
    Directory main = into.main();
    Directory exif = into.having(Directory.Kind.EXIF, 0xA002);
    if (main != null && main.number(0x0100) > 0) {
      into.width = (int) Math.min(1e6, main.number(0x0100));
      into.height = (int) Math.max(0, Math.min(1e6, main.number(0x0101)));
      into.sizeSource = "CMT1 ImageWidth (0x0100)";
    } else if (exif != null && exif.number(0xA002) > 0) {
      into.width = (int) Math.min(1e6, exif.number(0xA002));
      into.height = (int) Math.max(0, Math.min(1e6, exif.number(0xA003)));
      into.sizeSource = "CMT2 PixelXDimension (0xA002)";
    }
  }

  private static void tiff(ByteSource source, Box b, Directory first, Collected into)
      throws IOException {
    SourceReader reader = new SourceReader(source, b.start(), b.length());
    if (reader.getLength() >= 8) {
      into.directories.addAll(TagCollector.tiff(reader, first).directories());
    }
  }

  /** THMB and PRVW: a few numbers, whose layout differs by version, then a JPEG to the end. */
  private static void jpegInside(ByteSource source, Box b, Collected into) throws IOException {
    for (long at = b.start(); at < b.start() + 32 && at + 4 < b.end(); at++) {
      if (source.u8(at) == 0xFF && source.u8(at + 1) == 0xD8 && source.u8(at + 2) == 0xFF) {
        into.previews.add(new EmbeddedJpeg(at, b.end() - at, 0, 0));
        return;
      }
    }
  }

  private static void track(ByteSource source, Box trak, Collected into) throws IOException {
    Box table = path(source, trak, "mdia", "minf", "stbl");
    if (table == null) {
      return;
    }
    List<Box> boxes = table.children(source, 0);
    Box entry = Box.first(boxes, "stsd");
    Box sizes = Box.first(boxes, "stsz");
    Box places = Box.first(boxes, "co64");
    if (entry == null
        || sizes == null
        || places == null
        || entry.length() < 16
        || sizes.length() < 12
        || places.length() < 16) {
      return;
    }
    String coding =
        new String(source.get(entry.start() + 12, 4), java.nio.charset.StandardCharsets.ISO_8859_1);
    long size = Box.u32(source, sizes.start() + 4);
    if (size == 0 && sizes.length() >= 16) {
      size = Box.u32(source, sizes.start() + 12);
    }
    long at = Box.u32(source, places.start() + 8) << 32 | Box.u32(source, places.start() + 12);
    if (at <= 0 || size <= 4) {
      return;
    }
    if (at > source.length() - 4) {
      into.problem(
          TiffFile.INSIDE, "a track starts at " + at + ", the file ends at " + source.length());
      return;
    }
    if (coding.equals("CRAW") && source.u8(at) == 0xFF && source.u8(at + 1) == 0xD8) {
      into.previews.add(new EmbeddedJpeg(at, Math.min(size, source.length() - at), 0, 0));
    } else if (coding.equals("CTMD")) {
      timed(source, at, Math.min(at + Math.min(size, MAX_TIMED), source.length()), into);
    }
  }

  private static @Nullable Box path(ByteSource source, Box from, String... types)
      throws IOException {
    Box b = from;
    for (String t : types) {
      b = b.child(source, t);
      if (b == null) {
        return null;
      }
    }
    return b;
  }

  /**
   * Timed metadata: records of a little-endian size, a type and six bytes more; types 7 to 9 hold
   * blocks of size, tag and a TIFF stream, of which the maker's notes carry the white balance.
   */
  private static void timed(ByteSource source, long from, long to, Collected into)
      throws IOException {
    Directory maker = into.maker();
    if (maker != null && maker.get(COLOR_DATA) != null) {
      return;
    }
    long at = from;
    while (at + 12 <= to) {
      source.budget().step();
      long size = little(source, at);
      int type = source.u8(at + 4) | source.u8(at + 5) << 8;
      if (size < 12) {
        return;
      }
      if (type >= 7 && type <= 9) {
        blocks(source, at + 12, Math.min(at + size, to), into);
      }
      at += size;
    }
  }

  private static void blocks(ByteSource source, long from, long to, Collected into)
      throws IOException {
    long at = from;
    while (at + 16 <= to) {
      source.budget().step();
      long size = little(source, at);
      if (size < 16) {
        return;
      }
      if (little(source, at + 4) == TagCollector.MAKER_NOTE) {
        SourceReader r = new SourceReader(source, at + 8, Math.min(size - 8, to - at - 8));
        for (Directory d :
            TagCollector.tiff(r, new Directory(Directory.Kind.MAKER, 0)).directories()) {
          TagValue color = d.get(COLOR_DATA);
          Directory maker = into.maker();
          if (color != null && maker != null) {
            maker.put(COLOR_DATA, color, d.bigEndian());
          }
        }
      }
      at += size;
    }
  }

  private static long little(ByteSource source, long at) throws IOException {
    return Long.reverseBytes(Box.u32(source, at)) >>> 32;
  }
}
