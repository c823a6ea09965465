package samelight.engine.metadata;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.ByteArrayOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import samelight.engine.frame.WhiteBalance;
import samelight.engine.frame.WhitePoint;

/** White points of DNG and plain TIFF files made here, byte by byte. */
class WhitePointsTest {
  private static final int SHORT = 3;
  private static final int SRATIONAL = 10;

  @TempDir private Path shoot;

  /** A directory under construction: tag to type and values. */
  private static final class Ifd {
    private final SortedMap<Integer, Map.Entry<Integer, double[]>> entries = new TreeMap<>();

    Ifd put(int tag, int type, double... values) {
      entries.put(tag, Map.entry(type, values));
      return this;
    }

    /** Big-endian entries for a directory at an offset, with its values behind it. */
    byte[] bytes(int at) throws IOException {
      ByteArrayOutputStream head = new ByteArrayOutputStream();
      ByteArrayOutputStream tail = new ByteArrayOutputStream();
      DataOutputStream out = new DataOutputStream(head);
      DataOutputStream values = new DataOutputStream(tail);
      int behind = at + 2 + 12 * entries.size() + 4;
      out.writeShort(entries.size());
      for (var e : entries.entrySet()) {
        int type = e.getValue().getKey();
        double[] v = e.getValue().getValue();
        out.writeShort(e.getKey());
        out.writeShort(type);
        out.writeInt(v.length);
        if (type == SHORT && v.length <= 2) {
          out.writeShort((int) v[0]);
          out.writeShort(v.length == 2 ? (int) v[1] : 0);
        } else if (type == 4) {
          out.writeInt((int) v[0]);
        } else {
          out.writeInt(behind + tail.size());
          for (double x : v) {
            values.writeInt((int) Math.round(x * 1e8));
            values.writeInt(100_000_000);
          }
        }
      }
      out.writeInt(0);
      head.write(tail.toByteArray());
      return head.toByteArray();
    }
  }

  private WhiteBalance read(String name, Ifd main, Ifd exif) throws IOException {
    main.put(0x8769, 4, 0);
    int exifAt = 8 + main.bytes(8).length;
    main.put(0x8769, 4, exifAt);
    ByteArrayOutputStream file = new ByteArrayOutputStream();
    file.write("MM\0*\0\0\0\10".getBytes(US_ASCII));
    file.write(main.bytes(8));
    file.write(exif.bytes(exifAt));
    Path path = shoot.resolve(name);
    Files.write(path, file.toByteArray());
    Reading reading = new FrameReader().read(shoot, path);
    return requireNonNull(reading.frame(), () -> reading.findings().toString()).whiteBalance();
  }

  private static Ifd exampleDng() {
    return new Ifd()
        .put(0xC621, SRATIONAL, .5309, -.0229, -.0336, -.6241, 1.3265, .3337, -.0817, .1215, .6664)
        .put(0xC622, SRATIONAL, .4716, .0603, -.0830, -.7798, 1.5474, .2480, -.1496, .1937, .6651)
        .put(0xC628, SRATIONAL, .41306999, 1, .646465)
        .put(0xC65A, SHORT, 17)
        .put(0xC65B, SHORT, 21);
  }

  /**
   * colour-science/colour-hdri, models/tests/test_adobe_dng.py: 5684.83 K computed with illuminants
   * of 2850 and 6500 K; the file's codes stand for 2856 and 6504 K.
   */
  @Test
  void read_dngNeutralAndMatrices_giveTheExamplesTemperature() throws IOException {
    WhitePoint white = read("a.dng", exampleDng(), new Ifd()).point();
    assertThat(white.kind()).isEqualTo(WhitePoint.Kind.NEUTRAL_AND_MATRIX);
    assertThat(requireNonNull(white.kelvin()).value()).isCloseTo(5684.83, within(4.0));
    assertThat(requireNonNull(white.duv()).value()).isCloseTo(.0049, within(1e-4));
    assertThat(requireNonNull(white.neutral()).red()).isCloseTo(.41306999, within(1e-8));
  }

  /** Same source: CameraCalibration diag(.9603, 1, .9664) moves the neutral, not the white. */
  @Test
  void read_dngCameraCalibration_isApplied() throws IOException {
    Ifd main =
        exampleDng()
            .put(0xC623, SRATIONAL, .9603, 0, 0, 0, 1, 0, 0, 0, .9664)
            .put(0xC624, SRATIONAL, .9603, 0, 0, 0, 1, 0, 0, 0, .9664)
            .put(0xC628, SRATIONAL, .39667111, 1, .62474378);
    WhitePoint white = read("b.dng", main, new Ifd()).point();
    assertThat(requireNonNull(white.kelvin()).value()).isCloseTo(5684.83, within(4.0));
  }

  @Test
  void read_dngWithoutMatrix_knowsTheRatiosOnly() throws IOException {
    Ifd main = new Ifd().put(0xC628, SRATIONAL, .5, 1, .8);
    WhitePoint white = read("c.dng", main, new Ifd()).point();
    assertThat(white.kind()).isEqualTo(WhitePoint.Kind.NEUTRAL);
    assertThat(white.kelvin()).isNull();
    assertThat(requireNonNull(white.neutral()).blue()).isCloseTo(.8, within(1e-8));
  }

  @Test
  void read_dngSingularMatrix_knowsTheRatiosOnly() throws IOException {
    Ifd main =
        new Ifd()
            .put(0xC621, SRATIONAL, 1, 2, 3, 2, 4, 6, 0, 1, 1)
            .put(0xC628, SRATIONAL, .5, 1, .8);
    assertThat(read("d.dng", main, new Ifd()).point().kind()).isEqualTo(WhitePoint.Kind.NEUTRAL);
  }

  /** Illuminant D65 by its chromaticity. */
  @Test
  void read_dngWhiteXy_givesItsTemperature() throws IOException {
    Ifd main = new Ifd().put(0xC629, SRATIONAL, .3127, .3290);
    WhitePoint white = read("e.dng", main, new Ifd()).point();
    assertThat(white.kind()).isEqualTo(WhitePoint.Kind.CHROMATICITY);
    assertThat(requireNonNull(white.kelvin()).value()).isCloseTo(6504.3, within(0.15));
  }

  @ParameterizedTest
  @CsvSource({"1, 5500", "3, 2856", "21, 6504", "24, 3200"})
  void read_presetLightSource_isNominal(int code, double kelvin) throws IOException {
    Ifd exif = new Ifd().put(0xA403, SHORT, 1).put(0x9208, SHORT, code);
    WhitePoint white = read("f" + code + ".tif", new Ifd(), exif).point();
    assertThat(white.kind()).isEqualTo(WhitePoint.Kind.LIGHT_SOURCE);
    assertThat(requireNonNull(white.kelvin()).value()).isEqualTo(kelvin);
    assertThat(white.duv()).isNull();
  }

  /** Exif LightSource 0 is unknown, 255 other, 2 fluorescent of any kind (2600 to 7100 K). */
  @ParameterizedTest
  @CsvSource({"1, 0", "1, 255", "1, 2", "0, 4", "0, 1"})
  void read_lightSourceThatSaysNoWhitePoint_isUnknown(int setting, int code) throws IOException {
    Ifd exif = new Ifd().put(0xA403, SHORT, setting).put(0x9208, SHORT, code);
    WhiteBalance balance = read("g" + setting + code + ".tif", new Ifd(), exif);
    assertThat(balance.point()).isEqualTo(WhitePoint.UNKNOWN);
    assertThat(balance.lightSource()).isEqualTo(code);
  }
}
