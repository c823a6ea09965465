package samelight.engine.frame;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.quantity.ExposureTime;
import samelight.engine.quantity.FNumber;
import samelight.engine.quantity.Iso;

class FrameRecordsTest {
  private static final BodyId BODY = new BodyId("a", "Lumenwerk", "LW-1", "0012");

  private static Frame frame(String file) {
    return new Frame(
        file,
        null,
        BODY,
        null,
        CaptureSettings.UNKNOWN,
        null,
        WhiteBalance.UNKNOWN,
        Optics.UNKNOWN,
        Picture.UNKNOWN,
        Marks.NONE,
        Map.of(),
        List.of());
  }

  /**
   * Exif 2.2 (JEITA CP-3451), pp. 35-36, with the codes that ExifTool 12.57 adds: bit 0 says fired,
   * so 0x10, 0x18 and 0x20 didn't.
   */
  @ParameterizedTest
  @CsvSource({
    "0x00, false", "0x01, true", "0x05, true", "0x07, true", "0x08, false", "0x09, true",
    "0x0D, true", "0x0F, true", "0x10, false", "0x14, false", "0x18, false", "0x19, true",
    "0x1D, true", "0x1F, true", "0x20, false", "0x30, false", "0x41, true", "0x45, true",
    "0x47, true", "0x49, true", "0x4D, true", "0x4F, true", "0x50, false", "0x58, false",
    "0x59, true", "0x5D, true", "0x5F, true"
  })
  void fired_code(String code, boolean fired) {
    assertThat(new Flash(Integer.decode(code)).fired()).isEqualTo(fired);
  }

  @ParameterizedTest
  @ValueSource(ints = {-1, 65536})
  void flash_outOfRange_refused(int bits) {
    assertThatThrownBy(() -> new Flash(bits))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("flash bits must lie within 0 and 65535, were " + bits);
  }

  @ParameterizedTest
  @ValueSource(strings = {"", " ", "\t"})
  void bodyId_blank_refused(String id) {
    assertThatThrownBy(() -> new BodyId(id, "", "", null))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("body id must not be blank, was \"" + id + "\"");
  }

  @ParameterizedTest
  @CsvSource({"0, 1", "1, 0", "-1, 1", "NaN, 1", "1, NaN", "1001, 1", "1, Infinity", ".0009, 1"})
  void cameraNeutral_outOfRange_refused(double red, double blue) {
    assertThatThrownBy(() -> new CameraNeutral(red, blue))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage(
            "camera neutral ratios must lie within 0.001 and 1000, were " + red + " and " + blue);
  }

  @ParameterizedTest
  @CsvSource({"-1, 5, 0, 0", "0, 0, 0, 0", "0, -5, 0, 0", "0, 5, -1, 0", "0, 5, 0, -1"})
  void embeddedJpeg_outOfRange_refused(long offset, long length, int width, int height) {
    assertThatThrownBy(() -> new EmbeddedJpeg(offset, length, width, height))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage(
            "embedded JPEG needs offset >= 0, length > 0 and sides >= 0, had "
                + offset
                + ", "
                + length
                + ", "
                + width
                + " x "
                + height);
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 9, -1})
  void picture_orientationOutOfRange_refused(int orientation) {
    assertThatThrownBy(() -> new Picture(orientation, 0, 0, null, null, null, null))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("orientation must be 1 to 8, was " + orientation);
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "  ", "/shoot/A.JPG", "day\\A.JPG"})
  void frame_path_refused(String file) {
    assertThatThrownBy(() -> frame(file))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("frame path must be relative to the shoot with '/', was \"" + file + "\"");
  }

  @ParameterizedTest
  @CsvSource({
    "LWA_0001.DNG, LWA_0001",
    "card 1/LWA_0001.jpg, LWA_0001",
    "a.b/c, c",
    "a.b/c.d.cr3, c.d",
    ".hidden, .hidden",
    "née/🎞️ 1.nef, 🎞️ 1"
  })
  void stem_isNameWithoutLastExtension(String file, String stem) {
    assertThat(frame(file).stem()).isEqualTo(stem);
  }

  @ParameterizedTest
  @CsvSource({"a.JPG, true", "a.jpeg, true", "a.DNG, false", "jpg, false", "a.jpg.nef, false"})
  void jpeg_byExtension(String file, boolean jpeg) {
    assertThat(frame(file).jpeg()).isEqualTo(jpeg);
  }

  @Test
  void frame_callersCollections_areCopied() {
    List<Finding> findings = new ArrayList<>();
    Map<String, String> provenance = new HashMap<>();
    Frame frame =
        new Frame(
            "a.jpg",
            null,
            BODY,
            null,
            CaptureSettings.UNKNOWN,
            null,
            WhiteBalance.UNKNOWN,
            Optics.UNKNOWN,
            Picture.UNKNOWN,
            Marks.NONE,
            provenance,
            findings);
    findings.add(new Finding("a.jpg", null, "rule", "actual", "action"));
    provenance.put("iso", "0x8827");
    assertThat(frame.findings()).isEmpty();
    assertThat(frame.provenance()).isEmpty();
    assertThatThrownBy(() -> frame.findings().clear())
        .isInstanceOf(UnsupportedOperationException.class);
  }

  @Test
  void with_changesOnlyWhatItNames() {
    Frame frame = frame("a.dng");
    BodyId other = new BodyId("b", "", "", null);
    Marks marks = new Marks(-1.0, null, null, null, null);
    Finding finding = new Finding("a.dng", 12L, "rule", "actual", "action");
    Frame changed =
        frame.withBody(other).withPaired("a.jpg").withMarks(marks).withFindings(List.of(finding));
    assertThat(changed.body()).isEqualTo(other);
    assertThat(changed.paired()).isEqualTo("a.jpg");
    assertThat(changed.marks()).isEqualTo(marks);
    assertThat(changed.findings()).containsExactly(finding);
    assertThat(
            changed.withBody(BODY).withPaired(null).withMarks(Marks.NONE).withFindings(List.of()))
        .isEqualTo(frame);
  }

  @Test
  void flashFired_withoutTag_isFalse() {
    assertThat(frame("a.jpg").flashFired()).isFalse();
  }

  /** ISO 16684-1: xmp:Rating -1 is rejected, 0 is unrated. */
  @Test
  void rejected_onlyByNegativeRating() {
    assertThat(new Marks(-1.0, null, null, null, null).rejected()).isTrue();
    assertThat(new Marks(0.0, null, null, null, null).rejected()).isFalse();
    assertThat(new Marks(5.0, null, null, null, null).rejected()).isFalse();
    assertThat(Marks.NONE.rejected()).isFalse();
  }

  @Test
  void localSeconds_keepsTheFraction() {
    LocalDateTime local = LocalDateTime.of(2026, 6, 20, 15, 30, 5, 130_000_000);
    CaptureTime one = new CaptureTime(local, null, true);
    CaptureTime other = new CaptureTime(local.plusNanos(20_000_000), ZoneOffset.ofHours(2), true);
    assertThat(other.localSeconds() - one.localSeconds()).isCloseTo(0.02, within(1e-6));
    assertThat(new CaptureTime(LocalDateTime.of(1970, 1, 1, 0, 0, 1), null, false).localSeconds())
        .isEqualTo(1);
  }

  @Test
  void complete_needsAllThree() {
    CaptureSettings all =
        new CaptureSettings(new ExposureTime(1), new FNumber(2), new Iso(100), null, 0, -1, 0);
    assertThat(all.complete()).isTrue();
    assertThat(new CaptureSettings(all.exposureTime(), null, all.iso(), null, 0, -1, 0).complete())
        .isFalse();
    assertThat(CaptureSettings.UNKNOWN.complete()).isFalse();
  }

  @Test
  void finding_toString_saysRuleActualAction() {
    assertThat(new Finding("a/b.nef", 4096L, "tag present", "nothing", "left out").toString())
        .isEqualTo("a/b.nef @4096: tag present; found nothing; left out");
    assertThat(new Finding("a.nef", null, "r", "x", "y").toString())
        .isEqualTo("a.nef: r; found x; y");
  }
}
