package samelight.engine.metadata;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.frame.SmallImage;
import samelight.engine.hevc.HevcDecoder;
import samelight.engine.hevc.HevcPicture;
import samelight.engine.hevc.Streams;

/** Frames of HEIF files whose small picture is coded in HEVC. */
class HeifThumbnailTest {
  @TempDir Path folder;

  private static Reading read(byte[] file) throws IOException {
    return new FrameReader().read("a.HEIC", ByteSource.memory(file, new Budget()));
  }

  private static Frame frame(byte[] file) throws IOException {
    return Objects.requireNonNull(read(file).frame());
  }

  private static SmallImage small(byte[] file) throws IOException {
    Reading r = read(file);
    return Objects.requireNonNull(
        Objects.requireNonNull(r.frame()).picture().small(), () -> r.findings().toString());
  }

  private static double mean(byte[] bytes) {
    double sum = 0;
    for (byte b : bytes) {
      sum += b & 0xFF;
    }
    return sum / bytes.length;
  }

  /** Luma from 16 to 235 is 0 to 255 ([H.273], 8.3, equations 24 to 26 the other way round). */
  @Test
  void read_thumbnail_hasItsPixels() throws IOException {
    Streams.Item item = Streams.item("main400");
    HevcPicture p = HevcDecoder.decode(item.configuration(), item.data());
    double luma = 0;
    for (short s : p.planes().get(0)) {
      luma += Math.max(0, Math.min(255, (s - 16) * 255 / 219.0));
    }
    luma /= p.planes().get(0).length;

    Frame f = frame(new HeifFiles(4160, 2880, 0).with("main400", 104, 72).build());

    SmallImage s = Objects.requireNonNull(f.picture().small());
    assertThat(s.width() + "x" + s.height()).isEqualTo("96x66");
    assertThat(mean(s.rgb())).isCloseTo(luma, within(0.5));
    assertThat(f.provenance()).containsEntry("small", "HEVC");
    assertThat(f.picture().smallest()).isNull();
    assertThat(f.findings()).noneMatch(x -> x.action().equals("brightness unknown"));
  }

  @Test
  void read_fullRange_isTakenFromTheFile() throws IOException {
    HeifFiles limited = new HeifFiles(4160, 2880, 0).with("main400", 104, 72);
    byte[] said = HeifFiles.nclx(1, 13, 6, true);
    HeifFiles full = new HeifFiles(4160, 2880, 0).with("main400", 104, 72, "colr", said);
    double wide = mean(small(limited.build()).rgb());
    assertThat(mean(small(full.build()).rgb())).isBetween(wide - 20, wide - 0.5);
  }

  /** Turned as an Exif Orientation says it ([EXIF], Orientation; common practice for irot). */
  @ParameterizedTest
  @CsvSource({"1,8", "2,3", "3,6"})
  void read_turnedPicture_hasItsOrientation(int quarters, int orientation) throws IOException {
    byte[] turned = {(byte) quarters};
    HeifFiles file = new HeifFiles(4160, 2880, quarters).with("main420", 104, 72, "irot", turned);

    Frame f = frame(file.build());

    assertThat(f.picture().orientation()).isEqualTo(orientation);
    assertThat(f.picture().small()).isNotNull();
    assertThat(f.provenance()).containsEntry("orientation", "HEIF irot, imir");
  }

  /** A phone was seen that writes no irot and says in Exif how its picture is turned. */
  @Test
  void read_fileThatSaysNoTurn_leavesItToExif() throws IOException {
    Frame f = frame(new HeifFiles(4160, 2880, 0).with("main420", 104, 72).build());

    assertThat(f.provenance()).doesNotContainEntry("orientation", "HEIF irot, imir");
    assertThat(f.picture().small()).isNotNull();
  }

  @Test
  void read_thumbnailTurnedOtherwise_isLeftOutAndSaid() throws IOException {
    HeifFiles file = new HeifFiles(4160, 2880, 3).with("main420", 104, 72);

    Frame f = frame(file.build());

    assertThat(f.picture().small()).isNull();
    assertThat(f.findings().get(0).toString())
        .contains("a thumbnail turned like its picture (irot, imir); found Orientation 1 beside 6");
  }

  @Test
  void read_twoThumbnails_takesTheSmallestThatIsWideEnough() throws IOException {
    HeifFiles file =
        new HeifFiles(3200, 2400, 0)
            .with("big", 320, 240)
            .with("odd422", 98, 66)
            .with("q2", 72, 40);
    assertThat(small(file.build()).height()).isEqualTo(65);
  }

  @Test
  void read_auxiliaryPicture_isNoThumbnail() throws IOException {
    HeifFiles file = new HeifFiles(4160, 2880, 0).referringAs("auxl").with("main420", 104, 72);
    Frame f = frame(file.build());
    assertThat(f.picture().small()).isNull();
    assertThat(f.findings())
        .anyMatch(x -> x.actual().equals("a picture in HEVC with no small one beside it"));
  }

  /** The size that is said is cut from the upper left of what is coded, the aperture from that. */
  @Test
  void read_codedLargerThanSaid_isCut() throws IOException {
    byte[] aperture =
        java.nio.ByteBuffer.allocate(32)
            .putInt(90)
            .putInt(1)
            .putInt(60)
            .putInt(1)
            .putInt(0)
            .putInt(1)
            .putInt(0)
            .putInt(1)
            .array();
    assertThat(small(new HeifFiles(3200, 2000, 0).with("big", 80, 50).build()).height())
        .isEqualTo(50);
    SmallImage s =
        small(new HeifFiles(900, 600, 0).with("main420", 104, 72, "clap", aperture).build());
    assertThat(s.width() + "x" + s.height()).isEqualTo("90x60");
  }

  @Test
  void read_saidLargerThanCoded_isAFinding() throws IOException {
    HeifFiles file = new HeifFiles(4160, 2880, 0).with("main420", 400, 72);
    assertThat(frame(file.build()).findings().get(0).toString())
        .startsWith("a.HEIC @" + file.place(1) + ": a picture of the size that is said")
        .contains("found 104 x 72");
  }

  @Test
  void read_brokenStream_isAFindingAtItsPlace() throws IOException {
    HeifFiles file = new HeifFiles(4160, 2880, 0).with("main420", 104, 72);
    byte[] bytes = file.build();
    bytes[file.place(1)] = 1;

    Finding f = frame(bytes).findings().get(0);

    assertThat(f.offset()).isEqualTo(file.place(1));
    assertThat(f.rule()).isEqualTo("a NAL unit within its data");
  }

  @Test
  void read_unknownCurve_isAFinding() throws IOException {
    byte[] log = HeifFiles.nclx(1, 9, 1, true);
    HeifFiles file = new HeifFiles(4160, 2880, 0).with("main420", 104, 72, "colr", log);
    assertThat(frame(file.build()).findings().get(0).toString())
        .contains("HEVC with transfer characteristics 9");
  }

  @Test
  void read_farThumbnail_readsFewBytes() throws IOException {
    byte[] bytes = new HeifFiles(3200, 2400, 0).with("big", 320, 240).build();
    Path file = folder.resolve("a.HEIC");
    Files.write(file, bytes);
    try (var channel =
        java.nio.channels.FileChannel.open(file, java.nio.file.StandardOpenOption.WRITE)) {
      channel.write(java.nio.ByteBuffer.allocate(1), 25_000_000);
    }
    try (ByteSource source = ByteSource.open(file, new Budget())) {
      assertThat(new FrameReader().read("a.HEIC", source).frame()).isNotNull();
      assertThat(source.bytesRead()).isLessThanOrEqualTo(256 * 1024);
    }
  }
}
