package samelight.engine.metadata;

import java.io.IOException;
import samelight.engine.frame.EmbeddedJpeg;

/** TIFF 6.0 and what is built on it: DNG and the makers' raw files. */
final class TiffFile implements Container {
  private static final int NEW_SUBFILE_TYPE = 0x00FE;
  private static final int WIDTH = 0x0100;
  private static final int HEIGHT = 0x0101;
  private static final int BITS = 0x0102;
  private static final int COMPRESSION = 0x0103;
  private static final int PHOTOMETRIC = 0x0106;
  private static final int STRIP_OFFSETS = 0x0111;
  private static final int SAMPLES = 0x0115;
  private static final int STRIP_BYTES = 0x0117;
  private static final int TILE_OFFSETS = 0x0144;
  private static final int TILE_BYTES = 0x0145;
  private static final int JPEG_OFFSET = 0x0201;
  private static final int JPEG_BYTES = 0x0202;

  /** Rule of the finding of a file that was cut off. */
  static final String INSIDE = "picture data within the file";

  private static final int MAX_XMP = 1 << 20;

  @Override
  public boolean matches(byte[] head) {
    if (head.length < 8) {
      return false;
    }
    boolean little = head[0] == 'I' && head[1] == 'I';
    boolean big = head[0] == 'M' && head[1] == 'M';
    int marker =
        little
            ? (head[2] & 0xFF) | ((head[3] & 0xFF) << 8)
            : ((head[2] & 0xFF) << 8) | (head[3] & 0xFF);
    // 42 by TIFF; the others are makers' own: ORF "OR" and "SR", RW2 "U".
    return (little || big)
        && (marker == 42 || marker == 0x4F52 || marker == 0x5352 || marker == 0x0055);
  }

  @Override
  public void read(ByteSource source, Collected into) throws IOException {
    int before = into.directories.size();
    embedded(source, 0, source.length(), into);
    if (into.directories.size() > before) {
      size(into);
      extent(source, into);
    }
    PanasonicRaw.embedded(source, into);
  }

  /** Reads a TIFF stream that lies in a file: its directories, maker's notes, previews, XMP. */
  static void embedded(ByteSource source, long base, long length, Collected into)
      throws IOException {
    SourceReader reader = new SourceReader(source, base, length);
    if (reader.getLength() < 8) {
      into.problemAt(base, "a TIFF header of 8 bytes", reader.getLength() + " bytes");
      return;
    }
    TagCollector tags = TagCollector.tiff(reader);
    for (String p : tags.problems()) {
      into.problemAt(base, "well-formed directories (TIFF 6.0)", p);
    }
    into.directories.addAll(tags.directories());
    for (Directory d : tags.directories()) {
      previews(source, base, d, into);
      TagValue xmp = d.get(TagCollector.XMP);
      if (xmp != null && into.xmp == null && d.kind() == Directory.Kind.MAIN) {
        into.xmp = source.get(xmp.offset(), Math.min(xmp.bytes(), MAX_XMP));
      }
    }
    Directory main = into.main();
    TagValue secret = main == null ? null : main.get(TagCollector.DNG_PRIVATE);
    String make = main == null ? null : main.text(0x010F);
    if (secret != null && make != null && make.startsWith("SONY")) {
      SonyPrivate.read(reader, secret, into);
    } else if (secret != null) {
      MakerNotes.readPrivate(reader, secret, into);
    }
    for (Directory d : tags.directories()) {
      TagValue note = d.get(TagCollector.MAKER_NOTE);
      if (note != null && d.kind() == Directory.Kind.EXIF && into.maker() == null) {
        MakerNotes.read(reader, note, into);
      }
    }
  }

  /** Adds the JPEGs and the plain thumbnail that a directory tells of. */
  static void previews(ByteSource source, long base, Directory d, Collected into) {
    jpeg(source, base, d.number(JPEG_OFFSET), d.number(JPEG_BYTES), into);
    if (!d.kind().ofPicture()) {
      return;
    }
    double compression = d.number(COMPRESSION);
    TagValue offsets = d.get(STRIP_OFFSETS);
    TagValue bytes = d.get(STRIP_BYTES);
    if (offsets == null || bytes == null) {
      return;
    }
    double[] starts = offsets.numbers();
    double[] sizes = bytes.numbers();
    if (starts.length == 0 || starts.length != sizes.length) {
      return;
    }
    if ((compression == 6 || compression == 7) && starts.length == 1) {
      jpeg(source, base, starts[0], sizes[0], into);
    }
    double width = d.number(WIDTH);
    double height = d.number(HEIGHT);
    double[] bits = d.numbers(BITS);
    boolean contiguous = true;
    double total = 0;
    for (int i = 0; i < starts.length; i++) {
      contiguous &= i == 0 || starts[i] == starts[i - 1] + sizes[i - 1];
      total += sizes[i];
    }
    if (compression == 1
        && d.number(PHOTOMETRIC) == 2
        && d.number(SAMPLES) == 3
        && bits.length > 0
        && bits[0] == 8
        && contiguous
        && width >= 64
        && width <= 512
        && height >= 1
        && height <= 512
        && total >= width * height * 3
        && base + starts[0] + width * height * 3 <= source.length()
        && into.plain == null) {
      into.plain =
          new Collected.PlainThumbnail((long) (base + starts[0]), (int) width, (int) height);
    }
  }

  static void jpeg(ByteSource source, long base, double offset, double bytes, Collected into) {
    if (offset > 0 && bytes > 4 && into.previews.size() < 32) {
      if (base + offset + 4 > source.length()) {
        into.problemAt(
            (long) (base + offset),
            "an embedded JPEG within the file",
            "the file ends at " + source.length());
        return;
      }
      long start = (long) (base + offset);
      into.previews.add(
          new EmbeddedJpeg(start, Math.min((long) bytes, source.length() - start), 0, 0));
    }
  }

  /** The full picture: Exif's own word, else the largest directory that isn't a reduced image. */
  private static void size(Collected into) {
    Directory exif = into.having(Directory.Kind.EXIF, 0xA002);
    double best = 0;
    for (Directory d : into.directories) {
      if (d.kind() != Directory.Kind.MAIN && d.kind() != Directory.Kind.SUB) {
        continue;
      }
      double type = d.number(NEW_SUBFILE_TYPE);
      double w = d.number(WIDTH);
      double h = d.number(HEIGHT);
      double[] crop = d.numbers(0xC620);
      if (crop.length == 2 && crop[0] > 0 && crop[1] > 0) {
        w = crop[0];
        h = crop[1];
      }
      if (w > 0 && h > 0 && w < 1e6 && h < 1e6 && !(((long) type & 1) != 0) && w * h > best) {
        best = w * h;
        into.width = (int) w;
        into.height = (int) h;
        into.sizeSource = d.name() + " ImageWidth (0x0100)";
      }
    }
    if (exif != null) {
      double w = exif.number(0xA002);
      double h = exif.number(0xA003);
      if (w > 0 && h > 0 && w < 1e6 && h < 1e6) {
        into.width = (int) w;
        into.height = (int) h;
        into.sizeSource = "Exif PixelXDimension (0xA002)";
      }
    }
  }

  /** Whether the picture's data, which nobody reads here, would lie within the file. */
  private static void extent(ByteSource source, Collected into) {
    double end = 0;
    for (Directory d : into.directories) {
      if (d.kind() == Directory.Kind.MAIN || d.kind() == Directory.Kind.SUB) {
        end = Math.max(end, last(d.numbers(STRIP_OFFSETS), d.numbers(STRIP_BYTES)));
        end = Math.max(end, last(d.numbers(TILE_OFFSETS), d.numbers(TILE_BYTES)));
      }
    }
    if (end > source.length()) {
      into.problem(INSIDE, "they end at " + (long) end + " of " + source.length());
    }
  }

  private static double last(double[] starts, double[] sizes) {
    double end = 0;
    for (int i = 0; i < Math.min(starts.length, sizes.length); i++) {
      // All ones stand for "to the end of the file" in RW2.
      end = Math.max(end, starts[i] + (sizes[i] == 0xFFFFFFFFL ? 0 : sizes[i]));
    }
    return end;
  }
}
