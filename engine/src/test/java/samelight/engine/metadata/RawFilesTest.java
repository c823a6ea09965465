package samelight.engine.metadata;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static samelight.engine.metadata.RawFiles.AOC;
import static samelight.engine.metadata.RawFiles.JPEG;
import static samelight.engine.metadata.RawFiles.KEY;
import static samelight.engine.metadata.RawFiles.NOTES;
import static samelight.engine.metadata.RawFiles.OLYMP;
import static samelight.engine.metadata.RawFiles.OLYMPUS;
import static samelight.engine.metadata.RawFiles.OM;
import static samelight.engine.metadata.RawFiles.PENTAX;
import static samelight.engine.metadata.RawFiles.dng;
import static samelight.engine.metadata.RawFiles.orf;
import static samelight.engine.metadata.RawFiles.pef;
import static samelight.engine.metadata.RawFiles.preview;
import static samelight.engine.metadata.RawFiles.srw;
import static samelight.engine.metadata.RawFiles.thumbnail;
import static samelight.engine.metadata.TiffBytes.bytes;
import static samelight.engine.metadata.TiffBytes.longs;
import static samelight.engine.metadata.TiffBytes.shorts;
import static samelight.engine.metadata.TiffBytes.text;
import static samelight.engine.metadata.TiffBytes.undefined;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Arrays;
import java.util.Map;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.Frame;
import samelight.engine.frame.Picture;
import samelight.engine.frame.WhitePoint;

/**
 * ORF, PEF, SRW and DNG written by bodies: what their notes hold and tell of. The files are built
 * ({@link RawFiles}), since no whole raw of these makers is free. Layouts: ExifTool 12.57, tag
 * documentation of Olympus, Pentax and Samsung.
 */
class RawFilesTest {
  private static final long[] LEVELS = {2304, 1024, 1024, 1792};
  private static final long[] BLACK = {128, 128, 128, 128};

  @TempDir private Path folder;

  private static Reading reading(String name, byte[] file) throws IOException {
    return new FrameReader().read(name, ByteSource.memory(file, new Budget()));
  }

  private static Frame frame(RawFiles file) throws IOException {
    Reading r = reading("built", file.build());
    return requireNonNull(r.frame(), () -> r.findings().toString());
  }

  private static @Nullable CameraNeutral neutral(RawFiles file) throws IOException {
    return frame(file).whiteBalance().point().neutral();
  }

  static String[] olympusHeads() {
    return new String[] {OLYMPUS, OM, OLYMP};
  }

  @ParameterizedTest
  @MethodSource("olympusHeads")
  void read_orf_findsThumbnailAndPreview(String head) throws IOException {
    byte[] thumbnail = thumbnail();
    byte[] preview = preview();

    Frame f = frame(orf(head).olympus());

    Picture p = f.picture();
    EmbeddedJpeg smallest = requireNonNull(p.smallest());
    assertThat(smallest.offset()).isBetween((long) NOTES, (long) JPEG);
    assertThat(smallest).isEqualTo(new EmbeddedJpeg(smallest.offset(), thumbnail.length, 160, 120));
    assertThat(p.largest()).isEqualTo(new EmbeddedJpeg(JPEG, preview.length, 640, 480));
    assertThat(requireNonNull(p.small()).width()).isEqualTo(80);
    assertThat(f.findings()).isEmpty();
    assertThat(f.body().serial()).isEqualTo("BHP242330");
    assertThat(f.optics().lens()).isEqualTo("ZOOM 12-60mm");
  }

  /** Both pairs of the main notes, for each way to count. */
  @ParameterizedTest
  @MethodSource("olympusHeads")
  void read_orfWithPreviewInTheMainNotes_findsIt(String head) throws IOException {
    byte[] preview = preview();
    for (int tag : new int[] {0x0088, 0x1036}) {
      RawFiles f = orf(head).piece(JPEG, preview);
      f.with(longs(tag, f.place(JPEG)), longs(tag + 1, preview.length));
      assertThat(frame(f).picture().largest())
          .as("0x%04X", tag)
          .isEqualTo(new EmbeddedJpeg(JPEG, preview.length, 640, 480));
    }
  }

  /** A place that counts from the head is no picture for notes that count from their start. */
  @ParameterizedTest
  @ValueSource(strings = {OLYMPUS, OM})
  void read_orfWithPlaceFromAnotherBase_hasNoPicture(String head) throws IOException {
    byte[] preview = preview();
    RawFiles f = orf(head).piece(JPEG, preview);
    f.with(longs(0x0088, JPEG), longs(0x0089, preview.length)).piece(60_000, new byte[40_000]);
    assertNoPicture(frame(f));
  }

  @Test
  void read_orfWithStalePlace_hasNoPicture() throws IOException {
    byte[] preview = preview();
    RawFiles f = orf(OLYMPUS).piece(JPEG, preview);
    f.inside(0x2020, longs(0x0101, f.place(JPEG) + 2), longs(0x0102, preview.length - 2));
    assertNoPicture(frame(f));
  }

  /** By one byte, by much, and by a number that has no sign. */
  @ParameterizedTest
  @ValueSource(longs = {1, 1_000_000, 0xFFFF_0000L})
  void read_orfWithPreviewBeyondItsEnd_hasNoPicture(long more) throws IOException {
    byte[] preview = preview();
    RawFiles longer = orf(OLYMPUS).piece(JPEG, preview);
    longer.inside(0x2020, longs(0x0101, longer.place(JPEG)), longs(0x0102, preview.length + more));
    assertNoPicture(frame(longer));
    RawFiles later = orf(OLYMPUS).piece(JPEG, preview);
    later.inside(0x2020, longs(0x0101, later.place(JPEG) + more), longs(0x0102, preview.length));
    assertNoPicture(frame(later));
  }

  @Test
  void read_pefWithStalePlace_hasNoPicture() throws IOException {
    byte[] preview = preview();
    assertNoPicture(
        frame(
            pef(AOC)
                .with(longs(0x0003, preview.length), longs(0x0004, JPEG + 700))
                .piece(JPEG, preview)
                .piece(JPEG + preview.length, new byte[1000])));
  }

  /** The one finding says that there is none: a stale place is no damage of the file. */
  private static void assertNoPicture(Frame f) {
    assertThat(f.picture().largest()).isNull();
    assertThat(f.picture().small()).isNull();
    assertThat(f.findings()).hasSize(1);
    assertThat(f.findings().get(0).rule()).isEqualTo("a thumbnail or preview that can be decoded");
  }

  /** A JPEG with the same notes keeps its own picture, of which those in the notes are copies. */
  @Test
  void read_jpegWithPreviewInItsNotes_takesItsOwnPicture() throws IOException {
    byte[] whole = ReducedJpegTest.encode(ReducedJpegTest.picture(320, 240), 0.9f, false);
    byte[] exif = orf(OLYMPUS).olympus().build();
    exif[2] = 42;
    exif[3] = 0;
    assertThat(exif).hasSizeLessThan(65_000);
    ByteArrayOutputStream jpeg = new ByteArrayOutputStream();
    jpeg.write(whole, 0, 2);
    int length = 2 + 6 + exif.length;
    jpeg.writeBytes(new byte[] {(byte) 0xFF, (byte) 0xE1, (byte) (length >> 8), (byte) length});
    jpeg.writeBytes("Exif\0\0".getBytes(StandardCharsets.US_ASCII));
    jpeg.writeBytes(exif);
    jpeg.write(whole, 2, whole.length - 2);

    Frame f = requireNonNull(reading("a.JPG", jpeg.toByteArray()).frame());

    EmbeddedJpeg own = new EmbeddedJpeg(0, jpeg.size(), 320, 240);
    assertThat(f.picture().smallest()).isEqualTo(own);
    assertThat(f.picture().largest()).isEqualTo(own);
    assertThat(f.body().serial()).isEqualTo("BHP242330");
  }

  /** Of a raw of 25 MB with its preview at the end no more is read than of others. */
  @ParameterizedTest
  @MethodSource("olympusHeads")
  void read_largeOrf_readsFewBytes(String head) throws IOException {
    byte[] preview = preview();
    int end = 25_000_000;
    RawFiles file = orf(head).with(undefined(0x0100, thumbnail()));
    file.inside(0x2020, longs(0x0101, file.place(end)), longs(0x0102, preview.length));
    Path path = folder.resolve("large.ORF");
    Files.write(path, file.build());
    try (FileChannel channel = FileChannel.open(path, StandardOpenOption.WRITE)) {
      channel.write(ByteBuffer.wrap(preview), end); // sparse
    }
    try (ByteSource source = ByteSource.open(path, new Budget())) {
      Frame f = requireNonNull(new FrameReader().read("large.ORF", source).frame());
      assertThat(requireNonNull(f.picture().largest()).offset()).isEqualTo(end);
      assertThat(requireNonNull(f.picture().smallest()).width()).isEqualTo(160);
      assertThat(source.bytesRead()).isLessThanOrEqualTo(256 * 1024);
    }
  }

  /**
   * libopenraw's published results (testsuite/testsuite.xml, rawAsShotNeutral) for E-3 and XZ-10;
   * the levels are the whole numbers over green 256 that give them.
   */
  @ParameterizedTest
  @CsvSource({
    "474, 380, 0.540084388185654, 0.6736842105263158",
    "507, 438, 0.504930966469428, 0.5844748858447488"
  })
  void read_orfLevels_giveThePublishedNeutral(int r, int b, double red, double blue)
      throws IOException {
    assertNeutral(orf(OLYMPUS).inside(0x2040, shorts(0x0100, r, b)), red, blue);
    assertNeutral(orf(OM).inside(0x2040, shorts(0x0100, r, b)), red, blue);
  }

  /** Same source, SP565UZ and E-300: bodies with the older notes. */
  @ParameterizedTest
  @CsvSource({
    "470, 453, 0.5446808510638298, 0.565121412803532",
    "454, 338, 0.5638766519823789, 0.757396449704142"
  })
  void read_olderOrfLevels_giveThePublishedNeutral(int r, int b, double red, double blue)
      throws IOException {
    assertNeutral(orf(OLYMP).with(shorts(0x1017, r, 64), shorts(0x1018, b, 64)), red, blue);
  }

  /** Same source, PEF of K10D and *ist D: 128/189, 128/173 and 256/357, 256/260 of green. */
  @ParameterizedTest
  @CsvSource({
    "12096, 8192, 11072, 0.6772486772486772, 0.7398843930635838",
    "11424, 8192, 8320, 0.7170868347338936, 0.9846153846153847"
  })
  void read_pefLevels_giveThePublishedNeutral(int r, int g, int b, double red, double blue)
      throws IOException {
    assertNeutral(pef(AOC).with(shorts(0x0201, r, g, g, b)), red, blue);
  }

  private static void assertNeutral(RawFiles file, double red, double blue) throws IOException {
    CameraNeutral n = requireNonNull(neutral(file));
    assertThat(n.red()).isCloseTo(red, within(1e-12));
    assertThat(n.blue()).isCloseTo(blue, within(1e-12));
  }

  @ParameterizedTest
  @ValueSource(strings = {AOC, PENTAX})
  void read_pef_findsPreviewSerialAndLensNumber(String head) throws IOException {
    Frame f = frame(pef(head).pentax());
    assertThat(f.picture().largest()).isEqualTo(new EmbeddedJpeg(JPEG, preview().length, 640, 480));
    assertThat(f.body().serial()).isEqualTo("132352");
    assertThat(f.optics().lens()).isEqualTo("lens 7/238");
    assertThat(f.provenance())
        .containsEntry("serial", "maker's notes CameraInfo InternalSerialNumber (0x0215)")
        .containsEntry("lens", "maker's notes LensType (0x003F)");
  }

  @Test
  void read_pefWithSerialOnTheBody_prefersIt() throws IOException {
    assertThat(frame(pef(AOC).pentax().with(text(0x0229, "4178635"))).body().serial())
        .isEqualTo("4178635");
  }

  /** Four LONGs, SHORTs and a zero aren't five LONGs with a number. */
  @Test
  void read_pefWithOtherCameraInfo_hasNoSerial() throws IOException {
    long[] ten = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
    assertThat(frame(pef(AOC).with(longs(0x0215, 1, 2, 3, 4))).body().serial()).isNull();
    assertThat(frame(pef(AOC).with(shorts(0x0215, ten))).body().serial()).isNull();
    assertThat(frame(pef(AOC).with(shorts(0x0215, 1, 2, 3, 4, 5))).body().serial()).isNull();
    assertThat(frame(pef(AOC).with(longs(0x0215, 1, 2, 3, 4, 0))).body().serial()).isNull();
  }

  /** Those that ExifTool's list of lenses gives to whole series, and 8/255 to several lenses. */
  @ParameterizedTest
  @CsvSource({
    "7, 238, lens 7/238",
    "7, 0, lens 7/0",
    "4, 229, lens 4/229",
    "3, 44, lens 3/44",
    "0, 0,",
    "1, 0,",
    "2, 0,",
    "3, 0,",
    "9, 0,",
    "10, 0,",
    "21, 0,",
    "8, 255,",
    "3, 255,"
  })
  void read_pefLensNumber_isALabelWhereItNamesALens(int series, int number, @Nullable String label)
      throws IOException {
    RawFiles f = pef(AOC).with(bytes(0x003F, series, number, 0, 0));
    assertThat(frame(f).optics().lens()).isEqualTo(label);
  }

  /** Private data of in-camera DNGs: head, make, and where the byte order stands. */
  @ParameterizedTest
  @CsvSource({
    "'PENTAX ', PENTAX, II",
    "SAMSUNG, SAMSUNG TECHWIN Co., II",
    "RICOH, RICOH IMAGING, II",
  })
  void read_dngOfABodyWithPentaxNotes_readsThem(String head, String make, String order)
      throws IOException {
    Frame f = frame(dng(make, head + '\0' + order).pentax());
    assertThat(f.body().serial()).isEqualTo("132352");
    assertThat(f.optics().lens()).isEqualTo("lens 7/238");
    assertThat(requireNonNull(f.picture().largest()).offset()).isEqualTo(JPEG);
    CameraNeutral n = requireNonNull(f.whiteBalance().point().neutral());
    assertThat(n.red()).isCloseTo(128 / 189.0, within(1e-12));
  }

  /** A converter's private data, other private data, and a head without a byte order. */
  @ParameterizedTest
  @ValueSource(strings = {"Adobe\0MakN", "PENTAX", "RICOH\0XX", "SAMSUNG\0XX"})
  void read_dngWithOtherPrivateData_readsNothingOfThem(String head) throws IOException {
    Frame f = frame(dng("PENTAX", head).pentax());
    assertThat(f.body().serial()).isNull();
    assertThat(f.optics().lens()).isNull();
    assertThat(f.picture().largest()).isNull();
  }

  /** Bodies count from their notes (0) or from the head: either way, from what reads the key. */
  @ParameterizedTest
  @ValueSource(ints = {0, NOTES})
  void read_srw_takesTheBaseThatReadsTheKey(int base) throws IOException {
    Frame f = frame(srw(base).samsung(KEY, LEVELS, BLACK));
    assertThat(f.body().serial()).isEqualTo("B1C2D3E4F5");
    assertThat(f.optics().lens()).isEqualTo("lens 2");
    WhitePoint white = f.whiteBalance().point();
    assertThat(white.kind()).isEqualTo(WhitePoint.Kind.NEUTRAL);
    CameraNeutral n = requireNonNull(white.neutral());
    assertThat(n.red()).isCloseTo(896 / 2176.0, within(1e-12));
    assertThat(n.blue()).isCloseTo(896 / 1664.0, within(1e-12));
  }

  /** Neither from the notes nor from the head. */
  @Test
  void read_srwWithAnotherBase_leavesAllUnknown() throws IOException {
    assertUnknown(frame(srw(NOTES - 60).samsung(KEY, LEVELS, BLACK)));
  }

  @Test
  void read_srwWithAnotherKey_leavesAllUnknown() throws IOException {
    for (int i = 0; i < KEY.length; i++) {
      long[] key = KEY.clone();
      key[i]++;
      assertUnknown(frame(srw(NOTES).samsung(key, LEVELS, BLACK)));
      assertUnknown(frame(srw(0).samsung(key, LEVELS, BLACK)));
    }
    assertUnknown(frame(srw(0).samsung(Arrays.copyOf(KEY, 10), LEVELS, BLACK)));
    assertUnknown(frame(srw(0).samsung(Arrays.copyOf(KEY, 12), LEVELS, BLACK)));
  }

  private static void assertUnknown(Frame f) {
    assertThat(f.whiteBalance().point()).isEqualTo(WhitePoint.UNKNOWN);
    assertThat(f.body().serial()).isNull();
    assertThat(f.optics().lens()).isNull();
    assertThat(f.settings().complete()).isTrue();
  }

  /** Black above a level, and levels that aren't four. */
  @Test
  void read_srwWithImpossibleLevels_knowsNoWhitePoint() throws IOException {
    assertThat(neutral(srw(0).samsung(KEY, LEVELS, new long[] {2400, 128, 128, 128}))).isNull();
    assertThat(neutral(srw(0).samsung(KEY, new long[] {2304, 1024, 1792}, BLACK))).isNull();
    assertThat(neutral(srw(0).samsung(KEY, LEVELS, new long[3]))).isNull();
  }

  @ParameterizedTest
  @CsvSource({"B1C2, ", "'B1C2 ZZZZZ', ", "B1C2D, B1C2D"})
  void read_srwSerial_hasFiveCharactersOfAWord(String number, @Nullable String serial)
      throws IOException {
    RawFiles f = srw(0).with(text(0xA002, number), longs(0xA020, KEY), shorts(0xA003, 0));
    assertThat(frame(f).body().serial()).isEqualTo(serial);
    assertThat(frame(f).optics().lens()).isNull();
  }

  /** Cut anywhere: never a throw, never a picture that isn't all there, never another value. */
  @Test
  void read_cutAnywhere_saysNothingWrong() throws IOException {
    for (Map.Entry<String, byte[]> e : RawFiles.examples().entrySet()) {
      byte[] file = e.getValue();
      Frame whole = requireNonNull(reading(e.getKey(), file).frame());
      for (int length = 1; length < file.length; length += length < 4000 ? 7 : 331) {
        Reading r = reading(e.getKey(), Arrays.copyOf(file, length));
        Frame f = r.frame();
        String what = e.getKey() + " cut at " + length;
        if (f == null) {
          assertThat(r.findings()).as(what).isNotEmpty();
          continue;
        }
        EmbeddedJpeg largest = f.picture().largest();
        if (largest != null) {
          assertThat(largest.offset() + largest.length()).as(what).isLessThanOrEqualTo(length);
          assertThat(largest).as(what).isIn(whole.picture().largest(), whole.picture().smallest());
        }
        assertThat(f.body().serial()).as(what).isIn(null, whole.body().serial());
        assertThat(f.optics().lens()).as(what).isIn(null, whole.optics().lens());
        assertThat(f.whiteBalance().point())
            .as(what)
            .isIn(WhitePoint.UNKNOWN, whole.whiteBalance().point());
      }
    }
  }

  @Test
  void read_mutated_neverThrows() throws IOException {
    Random random = new Random(20261127);
    for (Map.Entry<String, byte[]> e : RawFiles.examples().entrySet()) {
      for (int i = 0; i < 200; i++) {
        byte[] file = e.getValue().clone();
        for (int k = 0; k < 1 + random.nextInt(20); k++) {
          int at = random.nextInt(random.nextInt(4) == 0 ? file.length : 1300);
          file[at] = (byte) random.nextInt(256);
        }
        Reading r = reading(e.getKey(), file);
        assertThat(r.frame() != null || !r.findings().isEmpty()).isTrue();
      }
    }
  }

  /** What the committed photograph of a body with the older notes says, under the head of a raw. */
  @Test
  void read_realNotesUnderTheHeadOfAnOrf_sayTheSame() throws IOException {
    byte[] jpeg = Samples.bytes("Olympus_X-2.jpg");
    int head = new String(jpeg, StandardCharsets.ISO_8859_1).indexOf("Exif\0\0") + 6;
    byte[] raw = Arrays.copyOfRange(jpeg, head, jpeg.length);
    boolean little = raw[0] == 'I';
    raw[2] = (byte) (little ? 'R' : 'O');
    raw[3] = (byte) (little ? 'O' : 'R');

    Frame a = requireNonNull(reading("a.JPG", jpeg).frame());
    Frame b = requireNonNull(reading("a.ORF", raw).frame());

    assertThat(b.whiteBalance()).isEqualTo(a.whiteBalance());
    assertThat(b.whiteBalance().point().neutral()).isNotNull();
    assertThat(b.settings()).isEqualTo(a.settings());
    assertThat(requireNonNull(b.picture().smallest()).width()).isEqualTo(160);
  }
}
