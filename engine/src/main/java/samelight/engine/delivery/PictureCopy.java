package samelight.engine.delivery;

import java.awt.color.ColorSpace;
import java.awt.color.ICC_Profile;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;

/**
 * Copies one export without decoding it. All bytes from the first scan's header to the end-of-image
 * marker, the tables and the frame header before it, and what says how colours are coded (JFIF,
 * Adobe's APP14, the ICC profile) are the export's own, so that the decoded pixels are the export's
 * by construction (ITU-T T.81: decoding depends on nothing else). The written file is read back and
 * compared with both.
 */
final class PictureCopy {
  private static final int CHUNK = 1 << 20;
  private static final int JFIF_LENGTH = 18;

  /**
   * A copy.
   *
   * @param sha256 of the written file, as it was read back
   * @param size bytes written
   * @param trailing bytes behind the picture's end that were left out
   */
  record Copied(String sha256, long size, long trailing) {}

  /** A piece of the file to write. */
  private static final class Piece {
    final byte[] data;
    final int at;
    final int length;

    Piece(byte[] data, int at, int length) {
      this.data = data;
      this.at = at;
      this.length = length;
    }

    Piece(byte[] data) {
      this(data, 0, data.length);
    }
  }

  private static final class SrgbProfile {
    static final byte[] BYTES = ICC_Profile.getInstance(ColorSpace.CS_sRGB).getData();
  }

  private PictureCopy() {}

  /**
   * Copies.
   *
   * @param to must not exist
   * @throws JpegStream.Damaged if the export is cut or no JPEG; nothing is left
   * @throws IOException if it can't be read or written; a half file may remain
   */
  static Copied copy(Path from, Path to, GalleryEntry entry, DeliverRequest.Options options)
      throws IOException {
    byte[] data = Files.readAllBytes(from);
    JpegStream jpeg = JpegStream.whole(data, data.length);
    List<Piece> pieces =
        options.strip() ? reduced(jpeg, entry, options) : all(jpeg, entry, options);
    long trailing = options.strip() ? data.length - (long) jpeg.end() : 0;
    long size = 0;
    try (FileChannel out =
        FileChannel.open(to, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
      ByteBuffer[] buffers = new ByteBuffer[pieces.size()];
      for (int i = 0; i < buffers.length; i++) {
        Piece p = pieces.get(i);
        buffers[i] = ByteBuffer.wrap(p.data, p.at, p.length);
        size += p.length;
      }
      for (long left = size; left > 0; ) {
        left -= out.write(buffers);
      }
      out.force(true);
    }
    return new Copied(readBack(to, jpeg, pieces, size), size, trailing);
  }

  /**
   * A smaller version of an export with the export's reduced metadata and profile.
   *
   * @param encoded a JPEG without metadata
   * @param export the export's own bytes, at least up to its first scan
   */
  static byte[] dressed(
      byte[] encoded, JpegStream export, GalleryEntry entry, DeliverRequest.Options options)
      throws IOException {
    JpegStream jpeg = JpegStream.whole(encoded, encoded.length);
    ByteArrayOutputStream out = new ByteArrayOutputStream(encoded.length + 8_192);
    out.write(encoded, 0, 2);
    List<Piece> pieces =
        new ArrayList<>(notes(export, jpeg.width(), jpeg.height(), 1, entry, options));
    for (JpegStream.Segment s : export.segments()) {
      if (ColourProfile.is(export, s)) {
        pieces.add(new Piece(export.data(), s.at(), s.length()));
      }
    }
    for (JpegStream.Segment s : jpeg.segments()) {
      if (jfif(jpeg, s)) {
        pieces.add(0, new Piece(encoded, s.at(), s.length()));
      } else if (coded(s) || adobe(jpeg, s)) {
        pieces.add(new Piece(encoded, s.at(), s.length()));
      }
    }
    pieces.add(new Piece(encoded, jpeg.scan(), jpeg.end() - jpeg.scan()));
    pieces.forEach(p -> out.write(p.data, p.at, p.length));
    return out.toByteArray();
  }

  /** Everything as it is, with a profile where one is asked for. */
  private static List<Piece> all(
      JpegStream jpeg, GalleryEntry entry, DeliverRequest.Options options) {
    List<Piece> pieces = new ArrayList<>();
    int at = 0;
    if (embeds(entry, options)) {
      at = 2;
      for (JpegStream.Segment s : jpeg.segments()) {
        if (s.marker() != JpegStream.APP0 && s.marker() != JpegStream.APP1) {
          break;
        }
        at = s.at() + s.length(); // before a multi-picture index, whose offsets count from itself
      }
      pieces.add(new Piece(jpeg.data(), 0, at));
      pieces.add(profile());
    }
    pieces.add(new Piece(jpeg.data(), at, jpeg.limit() - at));
    return pieces;
  }

  private static List<Piece> reduced(
      JpegStream jpeg, GalleryEntry entry, DeliverRequest.Options options) throws IOException {
    byte[] data = jpeg.data();
    List<Piece> pieces = new ArrayList<>();
    pieces.add(new Piece(data, 0, 2));
    for (JpegStream.Segment s : jpeg.segments()) {
      if (jfif(jpeg, s)) {
        pieces.add(new Piece(withoutThumbnail(data, s)));
      }
    }
    pieces.addAll(
        notes(jpeg, jpeg.width(), jpeg.height(), entry.head().orientation(), entry, options));
    for (JpegStream.Segment s : jpeg.segments()) {
      if (ColourProfile.is(jpeg, s) || adobe(jpeg, s)) {
        pieces.add(new Piece(data, s.at(), s.length()));
      }
    }
    for (JpegStream.Segment s : jpeg.segments()) {
      if (coded(s)) {
        pieces.add(new Piece(data, s.at(), s.length()));
      }
    }
    pieces.add(new Piece(data, jpeg.scan(), jpeg.end() - jpeg.scan()));
    return pieces;
  }

  /** What is kept of an export's metadata, and a profile where one is asked for. */
  private static List<Piece> notes(
      JpegStream export,
      int width,
      int height,
      int orientation,
      GalleryEntry entry,
      DeliverRequest.Options options) {
    List<Piece> pieces = new ArrayList<>();
    String copyright =
        options.copyright().isEmpty() ? entry.head().copyright() : options.copyright();
    ExifTags exif = ExportHead.exif(export);
    pieces.add(
        segment(
            JpegStream.APP1, exif.reduced(entry.taken(), copyright, width, height, orientation)));
    if (!copyright.isEmpty()) {
      pieces.add(segment(JpegStream.APP1, XmpRights.packet(copyright)));
    }
    if (embeds(entry, options)) {
      pieces.add(profile());
    }
    return pieces;
  }

  private static boolean embeds(GalleryEntry entry, DeliverRequest.Options options) {
    return options.embedSrgb() && entry.head().colour().kind() == ColourProfile.Kind.NONE;
  }

  private static boolean jfif(JpegStream jpeg, JpegStream.Segment s) {
    return s.marker() == JpegStream.APP0 && s.length() >= JFIF_LENGTH && jpeg.begins(s, "JFIF\0");
  }

  private static boolean adobe(JpegStream jpeg, JpegStream.Segment s) {
    return s.marker() == JpegStream.APP14 && jpeg.begins(s, "Adobe");
  }

  /** Whether a segment is part of the coded picture, not a note about it. */
  private static boolean coded(JpegStream.Segment s) {
    return !s.app() && s.marker() != JpegStream.COM;
  }

  private static byte[] withoutThumbnail(byte[] data, JpegStream.Segment s) {
    byte[] out = Arrays.copyOfRange(data, s.at(), s.at() + JFIF_LENGTH);
    out[3] = JFIF_LENGTH - 2;
    out[2] = 0;
    out[JFIF_LENGTH - 2] = 0;
    out[JFIF_LENGTH - 1] = 0;
    return out;
  }

  private static Piece profile() {
    byte[] profile = SrgbProfile.BYTES;
    ByteArrayOutputStream body = new ByteArrayOutputStream();
    body.writeBytes(ColourProfile.SIGNATURE.getBytes(java.nio.charset.StandardCharsets.US_ASCII));
    body.write(1); // the first of one piece
    body.write(1);
    body.writeBytes(profile);
    return segment(JpegStream.APP2, body.toByteArray());
  }

  private static Piece segment(int marker, byte[] body) {
    if (body.length > 65_533) {
      throw new IllegalArgumentException(
          "a JPEG segment must hold at most 65533 bytes, was " + body.length);
    }
    byte[] out = new byte[body.length + 4];
    out[0] = (byte) 0xFF;
    out[1] = (byte) marker;
    out[2] = (byte) ((body.length + 2) >> 8);
    out[3] = (byte) (body.length + 2);
    System.arraycopy(body, 0, out, 4, body.length);
    return new Piece(out);
  }

  /**
   * Reads the written file, compares it with what was to be written, and its picture with the
   * export's.
   */
  private static String readBack(Path file, JpegStream export, List<Piece> pieces, long size)
      throws IOException {
    MessageDigest digest = ContentHash.digest();
    byte[] head = new byte[0];
    try (FileChannel in = FileChannel.open(file, StandardOpenOption.READ)) {
      if (in.size() != size) {
        throw new IOException("it reads back with " + in.size() + " bytes instead of " + size);
      }
      ByteBuffer chunk = ByteBuffer.allocate(CHUNK);
      int piece = 0;
      int inPiece = 0;
      long at = 0;
      while (in.read(chunk.clear()) >= 0) {
        byte[] read = chunk.array();
        int n = chunk.position();
        digest.update(read, 0, n);
        if (at < 2L * CHUNK) {
          int from = head.length;
          head = Arrays.copyOf(head, from + n);
          System.arraycopy(read, 0, head, from, n);
        }
        at += n;
        for (int done = 0; done < n; ) {
          Piece p = pieces.get(piece);
          int step = Math.min(n - done, p.length - inPiece);
          if (!Arrays.equals(
              read, done, done + step, p.data, p.at + inPiece, p.at + inPiece + step)) {
            throw new IOException("it doesn't read back as it was written");
          }
          done += step;
          inPiece += step;
          if (inPiece == p.length) {
            piece++;
            inPiece = 0;
          }
        }
      }
    }
    String wrong = differs(export, JpegStream.head(head, head.length), pieces, size);
    if (wrong != null) {
      throw new IOException(wrong);
    }
    return HexFormat.of().formatHex(digest.digest());
  }

  /** How a written stream's picture differs from the export's, or null. */
  private static @Nullable String differs(
      JpegStream export, JpegStream written, List<Piece> pieces, long size) {
    List<JpegStream.Segment> a = export.segments().stream().filter(PictureCopy::coded).toList();
    List<JpegStream.Segment> b = written.segments().stream().filter(PictureCopy::coded).toList();
    boolean same = a.size() == b.size();
    for (int i = 0; same && i < a.size(); i++) {
      same =
          Arrays.equals(
              export.data(),
              a.get(i).at(),
              a.get(i).at() + a.get(i).length(),
              written.data(),
              b.get(i).at(),
              b.get(i).at() + b.get(i).length());
    }
    Piece last = pieces.get(pieces.size() - 1);
    long scan = size - written.scan();
    boolean ends =
        last.data == export.data()
            && last.at + (long) last.length - scan == export.scan()
            && last.at + last.length >= export.end();
    return same && ends ? null : "its coded picture isn't the export's";
  }
}
