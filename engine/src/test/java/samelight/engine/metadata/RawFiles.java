package samelight.engine.metadata;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static samelight.engine.metadata.TiffBytes.bytes;
import static samelight.engine.metadata.TiffBytes.elsewhere;
import static samelight.engine.metadata.TiffBytes.longs;
import static samelight.engine.metadata.TiffBytes.rational;
import static samelight.engine.metadata.TiffBytes.shorts;
import static samelight.engine.metadata.TiffBytes.text;
import static samelight.engine.metadata.TiffBytes.undefined;

import java.io.IOException;
import java.nio.ByteOrder;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import samelight.engine.metadata.TiffBytes.Entry;

/**
 * Raw files of makers of whom no whole file is free, made byte by byte: head, directories, notes
 * and JPEGs lie as the tag documentation of ExifTool (Olympus, Pentax, Samsung) says, their pixels
 * and numbers are invented. What a test wants otherwise it sets before {@link #build}.
 */
final class RawFiles {
  /** Places in the built files. */
  static final int EXIF = 400;

  static final int NOTES = 1200;

  /** Where the directories lie that the notes point to. */
  private static final int INSIDE = 20_000;

  /** Where the JPEG lies that the notes tell of. */
  static final int JPEG = 24_000;

  /** Heads of notes. */
  static final String OLYMPUS = "OLYMPUS\0";

  static final String OM = "OM SYSTEM\0\0\0";
  static final String OLYMP = "OLYMP\0";
  static final String AOC = "AOC\0";
  static final String PENTAX = "PENTAX \0";

  private final ByteOrder order;
  private final int marker;
  private final String make;
  private final String model;
  private String head = "";
  private int start;
  private int base;
  private boolean inPrivateData;
  private final List<Entry> notes = new ArrayList<>();
  private final Map<Integer, Entry[]> inside = new LinkedHashMap<>();
  private final Map<Integer, byte[]> pieces = new LinkedHashMap<>();

  private RawFiles(ByteOrder order, int marker, String make, String model) {
    this.order = order;
    this.marker = marker;
    this.make = make;
    this.model = model;
  }

  /** A JPEG of 160 x 120, as bodies embed. */
  static byte[] thumbnail() throws IOException {
    return ReducedJpegTest.encode(ReducedJpegTest.picture(160, 120), 0.9f, false);
  }

  /** A JPEG of 640 x 480. */
  static byte[] preview() throws IOException {
    return ReducedJpegTest.encode(ReducedJpegTest.picture(640, 480), 0.5f, false);
  }

  /** ORF; of the three heads of notes the first two count places from the notes. */
  static RawFiles orf(String head) {
    boolean om = head.equals(OM);
    RawFiles f =
        new RawFiles(
            ByteOrder.LITTLE_ENDIAN,
            0x4F52,
            om ? "OM Digital Solutions" : "OLYMPUS IMAGING CORP.",
            om ? "TG-7" : "E-3");
    boolean old = head.equals(OLYMP);
    return f.notes(old ? head + "\1\0" : head + "II\3\0", old ? 0 : NOTES);
  }

  /** PEF, notes in Pentax's first layout (places from the head) or in its later one. */
  static RawFiles pef(String head) {
    boolean first = head.equals(AOC);
    RawFiles f =
        new RawFiles(ByteOrder.BIG_ENDIAN, 42, "RICOH IMAGING COMPANY, LTD.  ", "PENTAX K-1 II ");
    return f.notes(head + "MM", first ? 0 : NOTES);
  }

  /** DNG of a body that puts its notes into the private data. */
  static RawFiles dng(String make, String head) {
    RawFiles f = new RawFiles(ByteOrder.LITTLE_ENDIAN, 42, make, "X");
    f.inPrivateData = true;
    return f.notes(head, NOTES);
  }

  /** SRW, places in its notes counted from {@code base}. */
  static RawFiles srw(int base) {
    return new RawFiles(ByteOrder.LITTLE_ENDIAN, 42, "SAMSUNG", "NX20").notes("", base);
  }

  private RawFiles notes(String notesHead, int placesFrom) {
    head = notesHead;
    start = notesHead.length();
    base = placesFrom;
    return this;
  }

  /** An entry of the notes. */
  RawFiles with(Entry... entries) {
    Collections.addAll(notes, entries);
    return this;
  }

  /** A directory that the notes point to. */
  RawFiles inside(int tag, Entry... entries) {
    inside.put(tag, entries);
    return this;
  }

  /** Bytes at a place of the file. */
  RawFiles piece(int at, byte... content) {
    pieces.put(at, content);
    return this;
  }

  /** A place of the file as the notes count it. */
  int place(int at) {
    return at - base;
  }

  byte[] build() {
    TiffBytes t = new TiffBytes(order, marker);
    t.put(NOTES, head.getBytes(ISO_8859_1));
    List<Entry> all = new ArrayList<>(notes);
    int at = INSIDE;
    for (Map.Entry<Integer, Entry[]> e : inside.entrySet()) {
      all.add(longs(e.getKey(), place(at)));
      at = t.directory(at, base, e.getValue());
    }
    all.sort((a, b) -> Integer.compare(a.tag(), b.tag()));
    t.directory(NOTES + start, base, all.toArray(new Entry[0]));
    int length = t.length() - NOTES;
    List<Entry> main =
        new ArrayList<>(
            List.of(
                longs(0x0100, 4040),
                longs(0x0101, 3030),
                text(0x010F, make),
                text(0x0110, model),
                longs(0x8769, EXIF)));
    if (inPrivateData) {
      main.add(elsewhere(0xC634, length, NOTES));
    }
    t.directory(8, 0, main.toArray(new Entry[0]));
    List<Entry> exif =
        new ArrayList<>(
            List.of(
                rational(0x829A, 1, 125),
                rational(0x829D, 23, 10),
                shorts(0x8827, 100),
                text(0x9003, "2024:11:08 18:15:49"),
                rational(0x920A, 54, 10)));
    if (!inPrivateData) {
      exif.add(elsewhere(0x927C, length, NOTES));
    }
    t.directory(EXIF, 0, exif.toArray(new Entry[0]));
    pieces.forEach(t::put);
    return t.file();
  }

  /** Samsung's notes with levels and black that the key is added to. */
  RawFiles samsung(long[] key, long[] levels, long[] black) {
    return with(
        undefined(0x0001, "0100".getBytes(ISO_8859_1)),
        longs(0x0002, 0x2000),
        text(0xA002, "B1C2D3E4F5"),
        shorts(0xA003, 2),
        longs(0xA020, key),
        longs(0xA021, plus(levels, key)),
        longs(0xA028, plus(black, key)));
  }

  private static long[] plus(long[] values, long[] key) {
    long[] sum = Arrays.copyOf(values, values.length);
    for (int i = 0; i < sum.length; i++) {
      sum[i] += key[i];
    }
    return sum;
  }

  /** Olympus: a thumbnail, a preview, a serial number, a lens, levels. */
  RawFiles olympus() throws IOException {
    byte[] preview = preview();
    return with(undefined(0x0100, thumbnail()))
        .inside(0x2010, text(0x0101, "BHP242330"), text(0x0203, "ZOOM 12-60mm"))
        .inside(0x2020, longs(0x0101, place(JPEG)), longs(0x0102, preview.length))
        .inside(0x2040, shorts(0x0100, 474, 380))
        .piece(JPEG, preview);
  }

  /** Pentax: a preview, a lens, levels, a serial number. */
  RawFiles pentax() throws IOException {
    byte[] preview = preview();
    return with(
            longs(0x0003, preview.length),
            longs(0x0004, place(JPEG)),
            bytes(0x003F, 7, 238),
            shorts(0x0201, 12096, 8192, 8192, 11072),
            longs(0x0215, 0x13092, 20180420, 1, 1, 132352))
        .piece(JPEG, preview);
  }

  /** One of each, by file name. */
  static Map<String, byte[]> examples() throws IOException {
    Map<String, byte[]> files = new LinkedHashMap<>();
    files.put("olympus.ORF", orf(OLYMPUS).olympus().build());
    files.put("om.ORF", orf(OM).olympus().build());
    files.put("olymp.ORF", orf(OLYMP).olympus().build());
    files.put("aoc.PEF", pef(AOC).pentax().build());
    files.put("pentax.PEF", pef(PENTAX).pentax().build());
    files.put("pentax.DNG", dng("PENTAX", PENTAX + "II").pentax().build());
    files.put("ricoh.DNG", dng("RICOH IMAGING COMPANY, LTD.", "RICOH\0II").pentax().build());
    files.put("samsung.DNG", dng("SAMSUNG TECHWIN", "SAMSUNG\0II").pentax().build());
    long[] levels = {2304, 1024, 1024, 1792};
    files.put("own.SRW", srw(NOTES).samsung(KEY, levels, new long[4]).build());
    files.put("head.SRW", srw(0).samsung(KEY, levels, new long[4]).build());
    return files;
  }

  /** The key of all bodies (ExifTool 12.57, tag documentation of Samsung, EncryptionKey). */
  static final long[] KEY = {305, 72, 737, 456, 282, 307, 519, 724, 13, 505, 193};
}
