package samelight.engine.metadata;

import java.io.IOException;
import java.nio.charset.StandardCharsets;

/**
 * Finds the directory inside a maker's notes (Exif tag 0x927C). Each maker has its own header, base
 * of offsets and byte order; the layouts are those that ExifTool's MakerNotes table documents.
 */
final class MakerNotes {
  /** Olympus: Equipment, CameraSettings, RawDevelopment, ImageProcessing. */
  static final int OLYMPUS_EQUIPMENT = 0x2010;

  static final int OLYMPUS_SETTINGS = 0x2020;
  static final int OLYMPUS_IMAGE = 0x2040;

  /** Nikon: preview directory. */
  static final int NIKON_PREVIEW = 0x0011;

  private static final int[] OLYMPUS = {OLYMPUS_EQUIPMENT, OLYMPUS_SETTINGS, OLYMPUS_IMAGE};

  private MakerNotes() {}

  /** Reads the notes where their layout is known. */
  static void read(SourceReader tiff, TagValue note, Collected into) throws IOException {
    int bytes = note.bytes();
    if (bytes < 14) {
      return;
    }
    byte[] head = tiff.source().get(note.offset(), Math.min(32, bytes));
    String h = new String(head, StandardCharsets.ISO_8859_1);
    long start = note.offset();
    int local = (int) (start - tiff.base());
    Directory main = into.main();
    String make = main == null ? null : main.text(0x010F);
    String maker = make == null ? "" : make.toUpperCase(java.util.Locale.ROOT);
    if (h.startsWith("Nikon\0\2")) {
      SourceReader r = new SourceReader(tiff.source(), start + 10, bytes - 10);
      TagCollector t = tiffNote(r);
      add(t, into);
      for (Directory d : t.directories()) {
        TiffFile.previews(tiff.source(), r.base(), d, into);
      }
    } else if (h.startsWith("Nikon\0\1")) {
      walk(tiff, local + 8, into);
    } else if (h.startsWith("SONY DSC ")
        || h.startsWith("SONY CAM ")
        || h.startsWith("SONY MOBILE")
        || h.startsWith("\0\0SONY PIC")
        || h.startsWith("VHAB     \0")
        || h.startsWith("Panasonic\0")) {
      walk(tiff, local + 12, into);
    } else if (h.startsWith("FUJIFILM") || h.startsWith("GENERALE")) {
      SourceReader r = new SourceReader(tiff.source(), start, bytes);
      r.setMotorolaByteOrder(false);
      walk(r, r.getInt32(8), into);
    } else if (h.startsWith("OLYMPUS\0") || h.startsWith("OM SYSTEM\0")) {
      int order = h.startsWith("OM") ? 12 : 8;
      // Offsets reach past the notes in some files, so the window is the rest of the stream.
      SourceReader r = tiff.from(start);
      r.setMotorolaByteOrder(h.charAt(order) == 'M');
      olympus(tiff, r, order + 4, into);
    } else if (h.startsWith("OLYMP\0") || h.startsWith("EPSON\0") || h.startsWith("MINOL\0")) {
      olympus(tiff, tiff, local + 8, into);
    } else if (h.startsWith("AOC\0")) {
      SourceReader r = tiff.from(tiff.base());
      if (h.startsWith("II", 4) || h.startsWith("MM", 4)) {
        r.setMotorolaByteOrder(h.charAt(4) == 'M');
      }
      pentax(tiff, r, local + 6, into);
    } else if (pentaxOrder(h) > 0) {
      pentax(tiff, start, h, into);
    } else if (h.startsWith("LEICA\0\0\0")) {
      walk(tiff, local + 8, into);
    } else if (maker.startsWith("CANON")) {
      canon(tiff, local, into);
    } else if (maker.startsWith("NIKON") || maker.startsWith("SONY")) {
      walk(tiff, local, into);
    } else if (maker.startsWith("SAMSUNG") && !h.startsWith("STMN")) {
      samsung(tiff, start, local, into);
    }
  }

  /**
   * Reads the private data of a DNG (0xC634) where they are a maker's notes: some bodies of Pentax,
   * Ricoh and Samsung write DNG and put their notes there. Of others nothing is read.
   */
  static void readPrivate(SourceReader tiff, TagValue data, Collected into) throws IOException {
    if (data.bytes() < 14) {
      return;
    }
    String h = new String(tiff.source().get(data.offset(), 14), StandardCharsets.ISO_8859_1);
    if (pentaxOrder(h) > 0) {
      pentax(tiff, data.offset(), h, into);
    }
  }

  private static void olympus(SourceReader tiff, SourceReader r, int ifd, Collected into)
      throws IOException {
    walk(r, ifd, into, OLYMPUS);
    if (isFile(tiff)) {
      NotePictures.olympus(r, into);
    }
  }

  /** Where the byte order of notes in Pentax's layout stands; 0 where they aren't. */
  private static int pentaxOrder(String h) {
    if (h.startsWith("PENTAX \0") || h.startsWith("SAMSUNG\0II") || h.startsWith("SAMSUNG\0MM")) {
      return 8;
    }
    return h.startsWith("RICOH\0II") || h.startsWith("RICOH\0MM") ? 6 : 0;
  }

  private static void pentax(SourceReader tiff, long start, String h, Collected into)
      throws IOException {
    int order = pentaxOrder(h);
    SourceReader r = tiff.from(start);
    r.setMotorolaByteOrder(h.charAt(order) == 'M');
    pentax(tiff, r, order + 2, into);
  }

  private static void pentax(SourceReader tiff, SourceReader r, int ifd, Collected into)
      throws IOException {
    walk(r, ifd, into);
    into.pentaxNotes = true;
    if (isFile(tiff)) {
      NotePictures.pentax(r, into);
    }
  }

  /**
   * Whether the stream is the file, as in raws. A JPEG has its own picture; where a program changed
   * that, the one in its notes is the older, or its place holds something else.
   */
  private static boolean isFile(SourceReader tiff) {
    return tiff.base() == 0;
  }

  /**
   * Samsung's notes of the second kind: bodies count places from the notes or from the head of the
   * stream, and say nowhere which. What reads the known key is right; without it nothing is taken
   * from them.
   */
  private static void samsung(SourceReader tiff, long start, int local, Collected into)
      throws IOException {
    Directory d = new Directory(Directory.Kind.MAKER, 0);
    TagCollector found = TagCollector.directory(tiff.from(start), 0, d);
    if (!SamsungWhitePoint.keyed(d)) {
      SourceReader head = tiff.from(tiff.base());
      found = TagCollector.directory(head, local, new Directory(Directory.Kind.MAKER, 0));
    }
    add(found, into);
  }

  /**
   * Canon's values follow their directory. Programs that moved the notes left the offsets as they
   * were; then the records, each of which starts with its own size, don't, and the distance to
   * where the first value should be is tried. If that doesn't help either, nothing is read.
   */
  private static void canon(SourceReader stream, int local, Collected into) throws IOException {
    SourceReader tiff = stream.from(stream.base());
    if (tiff.getUInt16(local) > 0xFF) {
      // The stream was rewritten in the other byte order, the notes were not.
      tiff.setMotorolaByteOrder(!tiff.isMotorolaByteOrder());
    }
    Directory plain = new Directory(Directory.Kind.MAKER, 0);
    TagCollector t = TagCollector.directory(tiff, local, plain);
    if (canonRecords(plain)) {
      add(t, into);
      return;
    }
    int entries = tiff.getUInt16(local);
    long moved = local + 2 + 12L * entries + 4 - t.lowestValue();
    long base = tiff.base() + moved;
    if (t.lowestValue() == Long.MAX_VALUE || Math.abs(moved) > (1 << 20)) {
      return;
    }
    Directory other = new Directory(Directory.Kind.MAKER, 0);
    SourceReader r = tiff.from(base);
    t = TagCollector.directory(r, (int) (local - moved), other);
    if (canonRecords(other)) {
      add(t, into);
    }
  }

  private static boolean canonRecords(Directory d) {
    TagValue shot = d.get(0x0004);
    return shot == null || shot.number() == shot.bytes();
  }

  private static TagCollector tiffNote(SourceReader r) throws IOException {
    boolean big = r.getUInt16(0) == 0x4D4D;
    r.setMotorolaByteOrder(big);
    return TagCollector.directory(
        r, r.getInt32(4), new Directory(Directory.Kind.MAKER, 0), NIKON_PREVIEW);
  }

  private static void walk(SourceReader r, int ifd, Collected into, int... children)
      throws IOException {
    Directory maker = new Directory(Directory.Kind.MAKER, 0);
    add(TagCollector.directory(r, ifd, maker, children), into);
    for (int tag : children) {
      // Older files hold the directory as the tag's own bytes.
      TagValue inside = maker.get(tag);
      if (inside != null && inside.bytes() > 12) {
        Directory d = new Directory(Directory.Kind.MAKER_SUB, tag);
        int at = (int) (inside.offset() - r.base());
        add(TagCollector.directory(r, at, d), into);
      }
    }
  }

  // What the library says of notes isn't passed on: their directories are full of odd entries.
  private static void add(TagCollector t, Collected into) {
    into.directories.addAll(t.directories());
  }
}
