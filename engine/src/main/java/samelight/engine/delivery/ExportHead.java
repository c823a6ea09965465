package samelight.engine.delivery;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;

/**
 * What the head of an exported JPEG says, and whether its end is there. Only its first and last
 * kilobytes are read.
 *
 * @param export name and capture facts
 * @param size bytes
 * @param modifiedMillis last modification, milliseconds since 1970-01-01T00:00Z
 * @param width pixels as stored, 0 where it can't be read
 * @param height pixels as stored, 0 where it can't be read
 * @param quality 1 to 100 as {@link JpegQuality} estimates it, or 0
 * @param orientation Exif Orientation; 1 is upright
 * @param colour its colour profile
 * @param copyright what it says of its rights, or empty
 * @param damage why it can't be delivered, or null
 */
record ExportHead(
    Export export,
    long size,
    long modifiedMillis,
    int width,
    int height,
    int quality,
    int orientation,
    ColourProfile colour,
    String copyright,
    @Nullable String damage) {

  /** A file of more bytes isn't delivered: each is held in memory while it is copied. */
  static final long LARGEST = 100L << 20;

  private static final int FIRST_READ = 64 << 10;
  private static final int LONGEST_HEAD = 16 << 20;
  private static final int TAIL = 64 << 10;

  String path() {
    return export.path();
  }

  int longerEdge() {
    return Math.max(width, height);
  }

  int shorterEdge() {
    return Math.min(width, height);
  }

  /**
   * Reads an export; a file that is no JPEG becomes one with its damage said.
   *
   * @param name path relative to the folder of exports, with {@code /}
   */
  static ExportHead read(String name, Path file) {
    long size = 0;
    long modified = 0;
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      size = channel.size();
      modified = Files.getLastModifiedTime(file).toMillis();
      if (size > LARGEST) {
        return damaged(name, size, modified, "is larger than " + (LARGEST >> 20) + " MB");
      }
      JpegStream jpeg = head(channel, size);
      String damage =
          jpeg.ordinary() ? end(channel, size, jpeg) : "is no JPEG that every viewer shows";
      return of(name, size, modified, jpeg, damage);
    } catch (JpegStream.Damaged | JpegStream.TooShort e) {
      return damaged(name, size, modified, String.valueOf(e.getMessage()));
    } catch (IOException e) {
      return damaged(name, size, modified, DurableFile.reasonOf(e));
    }
  }

  private static ExportHead damaged(String name, long size, long modified, String why) {
    return new ExportHead(
        Export.named(name),
        size,
        modified,
        0,
        0,
        0,
        1,
        new ColourProfile(ColourProfile.Kind.NONE, ""),
        "",
        why);
  }

  private static ExportHead of(
      String name, long size, long modified, JpegStream jpeg, @Nullable String damage)
      throws IOException {
    ExifTags exif = exif(jpeg);
    String serial = exif.text(ExifTags.SERIAL);
    Export export =
        new Export(
            name,
            exif.taken(),
            exif.subSecond(),
            exif.text(ExifTags.MAKE),
            exif.text(ExifTags.MODEL),
            serial.isEmpty() ? null : serial);
    return new ExportHead(
        export,
        size,
        modified,
        jpeg.width(),
        jpeg.height(),
        JpegQuality.of(jpeg.lumaTable()),
        exif.number(ExifTags.ORIENTATION, 1),
        ColourProfile.of(jpeg),
        copyright(jpeg, exif),
        damage);
  }

  /** The Exif tags of a stream. */
  static ExifTags exif(JpegStream jpeg) {
    for (JpegStream.Segment s : jpeg.segments()) {
      if (s.marker() == JpegStream.APP1 && jpeg.begins(s, ExifTags.SIGNATURE)) {
        return ExifTags.read(jpeg.data(), s.body() + 6, s.bodyLength() - 6);
      }
    }
    return ExifTags.none();
  }

  private static String copyright(JpegStream jpeg, ExifTags exif) {
    for (JpegStream.Segment s : jpeg.segments()) {
      if (s.marker() == JpegStream.APP1 && jpeg.begins(s, XmpRights.SIGNATURE)) {
        int skip = XmpRights.SIGNATURE.length();
        String rights = XmpRights.read(jpeg.data(), s.body() + skip, s.bodyLength() - skip);
        if (!rights.isEmpty()) {
          return rights;
        }
      }
    }
    return exif.text(ExifTags.COPYRIGHT);
  }

  private static JpegStream head(FileChannel channel, long size) throws IOException {
    int length = (int) Math.min(size, FIRST_READ);
    byte[] data = new byte[0];
    while (true) {
      int from = data.length;
      data = Arrays.copyOf(data, length);
      read(channel, ByteBuffer.wrap(data, from, length - from), from);
      try {
        return JpegStream.head(data, length);
      } catch (JpegStream.TooShort e) {
        if (length == size || length >= LONGEST_HEAD) {
          throw e;
        }
        length = (int) Math.min(size, 4L * length);
      }
    }
  }

  /** Looks for the end-of-image marker among the last bytes, behind the first scan's header. */
  private static @Nullable String end(FileChannel channel, long size, JpegStream jpeg)
      throws IOException {
    int length = (int) Math.min(size - jpeg.scan(), TAIL);
    byte[] tail = new byte[length];
    read(channel, ByteBuffer.wrap(tail), size - length);
    for (int i = length - 2; i >= 0; i--) {
      if (tail[i] == (byte) 0xFF && tail[i + 1] == (byte) 0xD9) {
        return null;
      }
    }
    return "ends before its end-of-image marker: it is cut";
  }

  private static void read(FileChannel channel, ByteBuffer into, long from) throws IOException {
    long at = from;
    while (into.hasRemaining()) {
      int n = channel.read(into, at);
      if (n < 0) {
        throw new IOException("it became shorter while it was read");
      }
      at += n;
    }
  }
}
