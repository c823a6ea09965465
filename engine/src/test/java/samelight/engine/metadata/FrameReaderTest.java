package samelight.engine.metadata;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.frame.Frame;
import samelight.engine.frame.WhitePoint;

class FrameReaderTest {
  @TempDir Path folder;

  private Reading read(String name, byte[] bytes) throws IOException {
    Path file = folder.resolve(name);
    Files.write(file, bytes);
    return new FrameReader().read(folder, file);
  }

  private static Frame sample(String name) {
    Frame f = new FrameReader().read(Samples.folder(), Samples.file(name)).frame();
    assertThat(f).as(name).isNotNull();
    return java.util.Objects.requireNonNull(f);
  }

  /** The readings were held against ExifTool 12.57 when they were approved. */
  @Test
  void read_samples_givesApprovedReadings() throws IOException {
    List<String> lines = new ArrayList<>();
    for (Path p : Samples.all()) {
      lines.add(text(sample(p.getFileName().toString())));
    }
    assertThat(String.join("\n", lines))
        .isEqualTo(Files.readString(Samples.file("approved.txt")).strip());
  }

  static String text(Frame f) {
    var s = f.settings();
    var w = f.whiteBalance();
    var p = f.picture();
    var t = f.time();
    var small = p.small();
    var n = w.point().neutral();
    return String.join(
        " | ",
        f.file(),
        f.body().make() + " " + f.body().model() + " " + f.body().serial(),
        t == null ? "no time" : t.local() + " " + t.offset() + " " + t.subSecond(),
        s.exposureTime() == null ? "-" : number(s.exposureTime().seconds()) + " s",
        s.fNumber() == null ? "-" : "f/" + number(s.fNumber().value()),
        s.iso() == null ? "-" : "ISO " + number(s.iso().value()),
        s.bias() == null ? "-" : number(s.bias().stops()) + " EV",
        "program " + s.program() + " mode " + s.mode() + " metering " + s.metering(),
        "flash " + (f.flash() == null ? "-" : f.flash().bits()),
        w.setting() + " " + w.lightSource() + " " + w.point().kind(),
        w.point().kelvin() == null ? "-" : number(w.point().kelvin().value()) + " K",
        n == null ? "-" : number(n.red()) + " " + number(n.blue()),
        f.optics().lens() + " " + f.optics().focalLengthMm(),
        p.orientation() + " " + p.width() + "x" + p.height(),
        small == null ? "no pixels" : small.width() + "x" + small.height(),
        "marks "
            + f.marks().rating()
            + " "
            + f.marks().label()
            + " "
            + f.marks().sequence()
            + " "
            + f.marks().focusX());
  }

  private static String number(double v) {
    return String.format(Locale.ROOT, "%.5g", v);
  }

  @Test
  void read_dngOfRealCamera_hasWhitePointFromItsMatrices() {
    WhitePoint p = sample("Canon_SD450.dng").whiteBalance().point();
    assertThat(p.kind()).isEqualTo(WhitePoint.Kind.NEUTRAL_AND_MATRIX);
    assertThat(p.kelvin()).isNotNull();
    assertThat(p.duv()).isNotNull();
  }

  @Test
  void read_neverAsksForMoreThanItsShareOfBytes() throws IOException {
    for (Path sample : Samples.all()) {
      String name = sample.getFileName().toString();
      Path big = folder.resolve(name);
      Files.copy(sample, big);
      try (var channel =
          java.nio.channels.FileChannel.open(big, java.nio.file.StandardOpenOption.WRITE)) {
        // Sparse: the file is 25 MB long, as raws are.
        channel.write(ByteBuffer.allocate(1), 25_000_000);
      }
      try (ByteSource source = ByteSource.open(big, new Budget())) {
        assertThat(new FrameReader().read(name, source).frame()).as(name).isNotNull();
        assertThat(source.bytesRead()).as(name).isLessThanOrEqualTo(256 * 1024);
      }
    }
  }

  @Test
  void read_vanishedFile_isAFinding() {
    Reading r = new FrameReader().read(folder, folder.resolve("gone.JPG"));
    assertThat(r.frame()).isNull();
    assertThat(r.findings()).hasSize(1);
    assertThat(r.findings().get(0).actual()).isEqualTo("it is gone");
  }

  @Test
  void read_chainOfDirectories_endsWithAFinding() throws IOException {
    ByteBuffer b = tiff(5000 * 18 + 100);
    for (int i = 0; i < 5000; i++) {
      int at = 8 + i * 18;
      b.putShort(at, (short) 1);
      entry(b, at + 2, 0x010F, 2, 4, 0x414141);
      b.putInt(at + 14, at + 18);
    }
    assertThat(read("chain.DNG", bytes(b)).findings()).isNotEmpty();
  }

  @Test
  void read_nestedDirectories_endsWithAFinding() throws IOException {
    ByteBuffer b = tiff(5000 * 18 + 100);
    for (int i = 0; i < 5000; i++) {
      int at = 8 + i * 18;
      b.putShort(at, (short) 1);
      entry(b, at + 2, 0x014A, 4, 1, at + 18);
    }
    assertThat(read("nested.DNG", bytes(b)).findings()).isNotEmpty();
  }

  @Test
  void read_directoriesInACircle_endsWithAFinding() throws IOException {
    ByteBuffer b = tiff(200);
    b.putShort(8, (short) 2);
    entry(b, 10, 0x014A, 4, 1, 8);
    entry(b, 22, 0x8769, 4, 1, 8);
    b.putInt(34, 8);
    assertThat(read("circle.NEF", bytes(b)).findings()).isNotEmpty();
  }

  @Test
  void read_overlappingRationals_keepsMemorySmall() throws IOException {
    ByteBuffer b = tiff(4_000_000);
    b.putShort(8, (short) 8);
    for (int i = 0; i < 8; i++) {
      entry(b, 10 + 12 * i, 0x9000 + i, 5, 490_000, 200);
    }
    Reading r = read("rationals.DNG", bytes(b));
    assertThat(r.findings()).isNotEmpty();
  }

  @Test
  void read_nestedXmp_isRefusedQuickly() throws IOException {
    StringBuilder xmp =
        new StringBuilder("<x xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" Label=\"\">");
    for (int i = 0; i < 20_000; i++) {
      xmp.append("<a>");
    }
    byte[] packet = ("http://ns.adobe.com/xap/1.0/\0" + xmp).getBytes(StandardCharsets.ISO_8859_1);
    byte[] jpeg = ReducedJpegTest.encode(ReducedJpegTest.picture(64, 64), 0.9f, false);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(jpeg, 0, 2);
    out.write(new byte[] {(byte) 0xFF, (byte) 0xE1});
    int length = Math.min(65_533, packet.length);
    out.write((length + 2) >> 8);
    out.write(length + 2);
    out.write(packet, 0, length);
    out.write(jpeg, 2, jpeg.length - 2);
    Reading r = read("xmp.JPG", out.toByteArray());
    assertThat(r.frame()).isNotNull();
    assertThat(r.findings())
        .anySatisfy(f -> assertThat(f.actual()).contains("nested deeper than 64"));
  }

  @Test
  void read_embeddedRating_isRead() throws Exception {
    String packet =
        "<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF"
            + " xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><rdf:Description"
            + " rdf:about='' xmlns:q='http://ns.adobe.com/xap/1.0/' q:Rating='-1'>"
            + "<q:Label>Green</q:Label></rdf:Description></rdf:RDF></x:xmpmeta>";
    EmbeddedXmp x = EmbeddedXmp.read(packet.getBytes(StandardCharsets.UTF_8), new Budget());
    assertThat(x).isEqualTo(new EmbeddedXmp(-1.0, "Green"));
    String plain =
        "<rdf:Description xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\"><xmp:Rating>3</xmp:Rating>";
    assertThat(EmbeddedXmp.read(plain.getBytes(StandardCharsets.UTF_8), new Budget()))
        .isEqualTo(new EmbeddedXmp(3.0, null));
  }

  @Test
  void read_nestedBoxes_endsWithAFinding() throws IOException {
    ByteBuffer b = ByteBuffer.allocate(80_000);
    b.putInt(24).put("ftypheic".getBytes(StandardCharsets.US_ASCII)).putInt(0);
    b.put("mif1heic".getBytes(StandardCharsets.US_ASCII));
    while (b.remaining() >= 12) {
      b.putInt(b.remaining()).put("meta".getBytes(StandardCharsets.US_ASCII)).putInt(0);
    }
    assertThat(read("boxes.HEIC", bytes(b)).findings()).isNotEmpty();
  }

  /** Invented: an own writer of boxes around a TIFF stream, since no raw of this kind is free. */
  static byte[] cr3() throws IOException {
    // A frame of 3:2 leaves 6 2/3 rows black above and below in a thumbnail of 4:3.
    BufferedImage barred = new BufferedImage(160, 120, BufferedImage.TYPE_INT_RGB);
    barred.getGraphics().drawImage(ReducedJpegTest.picture(160, 106), 0, 7, null);
    byte[] thumbnail = ReducedJpegTest.encode(barred, 0.9f, false);
    ByteBuffer main = tiff(80);
    main.putShort(8, (short) 3);
    entry(main, 10, 0x0100, 4, 1, 6000);
    entry(main, 22, 0x0101, 4, 1, 4000);
    // By the make is it known whose notes CMT3 holds.
    entry(main, 34, 0x010F, 2, 6, 60);
    main.position(60);
    main.put("Canon\0".getBytes(StandardCharsets.US_ASCII));
    ByteBuffer exif = tiff(80);
    exif.putShort(8, (short) 2);
    entry(exif, 10, 0x9003, 2, 20, 48);
    entry(exif, 22, 0x8827, 3, 1, 800);
    exif.position(48);
    exif.put("2026:06:06 15:20:07\0".getBytes(StandardCharsets.US_ASCII));
    ByteBuffer maker = tiff(3800);
    maker.putShort(8, (short) 1);
    entry(maker, 10, 0x4001, 3, 1824, 64);
    for (int i = 0; i < 5; i++) {
      maker.putShort(64 + 2 * (71 + i), (short) new int[] {2000, 1024, 1024, 1600, 5200}[i]);
    }
    byte[] canon =
        join(
            box("CMT1", bytes(main)),
            box("CMT2", bytes(exif)),
            box("CMT3", bytes(maker)),
            box("THMB", join(new byte[16], thumbnail)));
    byte[] uuid = java.util.HexFormat.of().parseHex("85c0b687820f11e08111f4ce462b6a48");
    return join(
        box("ftyp", "crx \0\0\0\1crx isom".getBytes(StandardCharsets.ISO_8859_1)),
        box("moov", box("uuid", join(uuid, canon))),
        box("mdat", new byte[100]));
  }

  @Test
  void read_cr3Boxes_areFound() throws IOException {
    Frame f = java.util.Objects.requireNonNull(read("IMG_0001.CR3", cr3()).frame());
    // Read at half size the picture has 53 1/3 rows, of which 52 hold nothing of the bars.
    assertThat(text(f))
        .contains("2026-06-06T15:20:07", "ISO 800.00", "6000x4000", "80x52", "KELVIN", "5200.0 K");
    assertThat(f.whiteBalance().point().neutral()).isEqualTo(new CameraNeutral(0.512, 0.64));
  }

  /** As some converters write it: the pixels first, the directory behind them (TIFF 6.0, p. 13). */
  @Test
  void read_directoryAtTheEndOfALargeTiff_isReadWithFewBytes() throws IOException {
    int end = 25_000_000;
    ByteBuffer b = tiff(end + 100);
    b.putInt(4, end).putShort(end, (short) 4);
    entry(b, end + 2, 0x0100, 4, 1, 6000);
    entry(b, end + 14, 0x0101, 4, 1, 4000);
    entry(b, end + 26, 0x0112, 3, 1, 6);
    entry(b, end + 38, 0x9003, 2, 20, end + 60);
    b.position(end + 60);
    b.put("2026:06:06 15:20:07\0".getBytes(StandardCharsets.US_ASCII));
    Path file = folder.resolve("late.tif");
    Files.write(file, bytes(b));

    try (ByteSource source = ByteSource.open(file, new Budget())) {
      Frame f =
          java.util.Objects.requireNonNull(new FrameReader().read("late.tif", source).frame());
      assertThat(text(f)).contains("2026-06-06T15:20:07", "6 6000x4000");
      assertThat(source.bytesRead()).isLessThanOrEqualTo(256 * 1024);
    }
  }

  /** An item of type jpeg beside the picture in HEVC (ISO/IEC 23008-12, H.4). */
  @Test
  void read_heifWithAJpegThumbnail_hasItsPixels() throws IOException {
    byte[] thumbnail = ReducedJpegTest.encode(ReducedJpegTest.picture(160, 120), 0.9f, false);
    ByteBuffer tags = tiff(48);
    tags.putShort(8, (short) 1);
    entry(tags, 10, 0x9003, 2, 20, 26);
    tags.position(26);
    tags.put("2026:06:06 15:20:07\0".getBytes(StandardCharsets.US_ASCII));
    byte[] exif = join(new byte[4], bytes(tags));
    byte[] ftyp = box("ftyp", "heic\0\0\0\0mif1heic".getBytes(StandardCharsets.ISO_8859_1));
    byte[] iinf = join(new byte[] {0, 0, 0, 0, 0, 2}, item(7, "jpeg"), item(8, "Exif"));
    int before = ftyp.length + 12 + 8 + iinf.length + 8 + 36 + 8;
    ByteBuffer iloc = ByteBuffer.allocate(36);
    iloc.putInt(0).put((byte) 0x44).put((byte) 0).putShort((short) 2);
    iloc.putShort((short) 7).putShort((short) 0).putShort((short) 1);
    iloc.putInt(before).putInt(thumbnail.length);
    iloc.putShort((short) 8).putShort((short) 0).putShort((short) 1);
    iloc.putInt(before + thumbnail.length).putInt(exif.length);
    byte[] heic =
        join(
            ftyp,
            box("meta", join(new byte[4], box("iinf", iinf), box("iloc", iloc.array()))),
            box("mdat", join(thumbnail, exif)));

    Reading r = read("IMG_0001.HEIC", heic);

    Frame f = java.util.Objects.requireNonNull(r.frame());
    assertThat(text(f)).contains("2026-06-06T15:20:07", "80x60");
    assertThat(java.util.Objects.requireNonNull(f.picture().smallest()).offset()).isEqualTo(before);
  }

  static byte[] item(int id, String type) {
    ByteBuffer b = ByteBuffer.allocate(13);
    b.putInt(2 << 24).putShort((short) id).putShort((short) 0);
    b.put((type + "\0").getBytes(StandardCharsets.US_ASCII));
    return box("infe", b.array());
  }

  @Test
  void read_mutatedSamples_neverThrows() throws IOException {
    Random random = new Random(20261125);
    for (Path sample : Samples.all()) {
      byte[] original = Files.readAllBytes(sample);
      for (int i = 0; i < 40; i++) {
        byte[] bytes = original.clone();
        for (int k = 0; k < 1 + random.nextInt(30); k++) {
          bytes[random.nextInt(Math.min(bytes.length, 4000))] = (byte) random.nextInt(256);
        }
        if (random.nextInt(4) == 0) {
          bytes = Arrays.copyOf(bytes, 1 + random.nextInt(bytes.length));
        }
        Reading r = new FrameReader().read("x.JPG", ByteSource.memory(bytes, new Budget()));
        assertThat(r.frame() != null || !r.findings().isEmpty()).isTrue();
      }
    }
  }

  private static byte[] bytes(ByteBuffer b) {
    byte[] out = new byte[b.capacity()];
    b.get(0, out);
    return out;
  }

  private static ByteBuffer tiff(int size) {
    ByteBuffer b = ByteBuffer.allocate(size).order(ByteOrder.LITTLE_ENDIAN);
    b.put(0, (byte) 'I').put(1, (byte) 'I').putShort(2, (short) 42).putInt(4, 8);
    return b;
  }

  private static void entry(ByteBuffer b, int at, int tag, int type, int count, int value) {
    b.putShort(at, (short) tag).putShort(at + 2, (short) type);
    b.putInt(at + 4, count).putInt(at + 8, value);
  }

  static byte[] box(String type, byte[] content) {
    return ByteBuffer.allocate(8 + content.length)
        .putInt(8 + content.length)
        .put(type.getBytes(StandardCharsets.US_ASCII))
        .put(content)
        .array();
  }

  static byte[] join(byte[]... parts) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (byte[] p : parts) {
      out.writeBytes(p);
    }
    return out.toByteArray();
  }
}
