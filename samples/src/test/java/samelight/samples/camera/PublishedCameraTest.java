package samelight.samples.camera;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import samelight.samples.light.Chromaticity;
import samelight.samples.light.Krystek1985;
import samelight.samples.light.Matrix3;

/** Dials, marks, sensor and tone curve against published figures. */
class PublishedCameraTest {

  /** Exif 2.2 (JEITA CP-3451), Annex C, Table 48: f-numbers and Av. */
  @ParameterizedTest
  @CsvSource({
    "1,0", "1.4,1", "2,2", "2.8,3", "4,4", "5.6,5", "8,6", "11,7", "16,8", "22,9", "32,10"
  })
  void markedFNumber_apexTable(String mark, int av) {
    assertThat(new Exposure(6 * av, 0, 0).markedFNumber()).isEqualTo(mark);
  }

  /** Exif 2.2, Annex C, Table 48: exposure times and Tv. */
  @ParameterizedTest
  @CsvSource({
    "30,-5",
    "15,-4",
    "8,-3",
    "4,-2",
    "2,-1",
    "1,0",
    "1/4,2",
    "1/8,3",
    "1/15,4",
    "1/30,5",
    "1/60,6",
    "1/125,7",
    "1/250,8",
    "1/500,9",
    "1/1000,10",
    "1/2000,11"
  })
  void markedTime_apexTable(String mark, int tv) {
    assertThat(new Exposure(0, 6 * tv, 0).markedTime()).isEqualTo(mark);
  }

  @Test
  void marks_stayNearTheirExactSteps() {
    // Greatest errors of marks: 0.15 stop (f/1.2), 0.10 (1/15 s to 1/60 s), among
    // half stops 0.24 (0.3 s) and 0.18 (10 s, 20 s, 1/10 s, 1/20 s); computed from the marks.
    List<String> off = new ArrayList<>();
    for (int step = 2; step <= 3; step++) {
      for (int i = 0; i <= 60; i += step) {
        double n = Double.parseDouble(new Exposure(i, 0, 0).markedFNumber());
        note(off, "f/" + n, 2 * log2(n) - i / 6.0, 0.155);
      }
      for (int i = -30; i <= 78; i += step) {
        String[] p = new Exposure(0, i, 0).markedTime().split("/", -1);
        double t = p.length == 1 ? Double.parseDouble(p[0]) : 1 / Double.parseDouble(p[1]);
        note(off, "1/" + 1 / t, -log2(t) - i / 6.0, step == 2 ? 0.105 : 0.24);
      }
    }
    for (int i = -6; i <= 60; i += 2) {
      note(off, "ISO", log2(new Exposure(0, 0, i).markedIso() / 100.0) - i / 6.0, 0.03);
    }
    assertThat(off).isEmpty();
  }

  private static void note(List<String> off, String what, double error, double most) {
    if (Math.abs(error) > most) {
      off.add(what + " is off by " + error + " stop");
    }
  }

  private static double log2(double v) {
    return Math.log(v) / Math.log(2);
  }

  /**
   * A worked example of the DNG specification's neutral: colour-hdri,
   * colour_hdri/models/tests/test_adobe_dng.py. There the matrices belong to 2850 K and 6500 K,
   * here to 2856 K and 6504 K, which moves xy by less than 1e-4.
   */
  @Test
  void read_workedExampleOfDngNeutral() {
    Sensor sensor =
        new Sensor(
            Matrix3.of(0.5309, -0.0229, -0.0336, -0.6241, 1.3265, 0.3337, -0.0817, 0.1215, 0.6664),
            Matrix3.of(0.4716, 0.0603, -0.0830, -0.7798, 1.5474, 0.2480, -0.1496, 0.1937, 0.6651));
    Chromaticity c = sensor.read(new double[] {0.41306999, 1, 0.646465});
    assertThat(c.x()).isCloseTo(0.32816244, within(1e-4));
    assertThat(c.y()).isCloseTo(0.34698169, within(1e-4));
    assertThat(Krystek1985.kelvin(c)).isCloseTo(5684.83, within(8.0));
    double[] back = sensor.neutral(new Chromaticity(0.32816244, 0.34698169));
    assertThat(back[0]).isCloseTo(0.41306999, within(2e-4));
    assertThat(back[2]).isCloseTo(0.646465, within(2e-4));
  }

  private static final Sensor SENSOR =
      new Sensor(
          Matrix3.of(0.78, -0.28, -0.03, -0.40, 1.20, 0.23, -0.04, 0.13, 0.62),
          Matrix3.of(0.68, -0.19, -0.06, -0.43, 1.21, 0.24, -0.07, 0.16, 0.55));

  @Property
  void rendering_rightGuessKeepsEveryColour(
      @ForAll @DoubleRange(min = 2200, max = 9000) double kelvin,
      @ForAll @DoubleRange(min = -0.01, max = 0.01) double duv) {
    Chromaticity light = Krystek1985.chromaticity(kelvin, duv);
    double[] m = SENSOR.rendering(light, light).rows();
    for (int i = 0; i < 9; i++) {
      assertThat(m[i]).isCloseTo(i % 4 == 0 ? 1 : 0, within(1e-9));
    }
  }

  @Property
  void rendering_lightWarmerThanTheGuessComesOutWarm(
      @ForAll @DoubleRange(min = 2600, max = 7000) double kelvin) {
    Matrix3 m =
        SENSOR.rendering(
            Krystek1985.chromaticity(kelvin, 0),
            Krystek1985.chromaticity(1e6 / (1e6 / kelvin - 25), 0));
    double[] white = m.times(new double[] {1, 1, 1});
    assertThat(white[0]).isGreaterThan(white[2] + 0.03);
  }

  @Property
  void read_isTheInverseOfNeutral(
      @ForAll @DoubleRange(min = 2300, max = 8000) double kelvin,
      @ForAll @DoubleRange(min = -0.01, max = 0.01) double duv) {
    Chromaticity light = Krystek1985.chromaticity(kelvin, duv);
    Chromaticity read = SENSOR.read(SENSOR.neutral(light));
    assertThat(read.x()).isCloseTo(light.x(), within(1e-6));
    assertThat(read.y()).isCloseTo(light.y(), within(1e-6));
  }

  @Property
  void misread_shiftsWhatIsRead(@ForAll @DoubleRange(min = 2900, max = 6400) double kelvin) {
    Sensor off = SENSOR.misread(11);
    Chromaticity read = off.read(SENSOR.white(Krystek1985.chromaticity(kelvin, 0)));
    assertThat(1e6 / Krystek1985.kelvin(read) - 1e6 / kelvin).isCloseTo(11, within(4.0));
  }

  /** IEC 61966-2-1 as computed by colour-science: sRGB(0.18), and its inverse at one half. */
  @Test
  void encode_publishedValues() {
    assertThat(ToneCurve.encode(0.18)).isCloseTo(0.461356129500442, within(1e-12));
    assertThat(ToneCurve.decode(0.5)).isCloseTo(0.21404114, within(1e-8));
  }

  @Property
  void code_midGreyStaysAndSlopeIsAsStated(
      @ForAll @DoubleRange(min = 0.9, max = 1.5) double slope) {
    ToneCurve curve = new ToneCurve(slope);
    assertThat(curve.code(0.18)).isCloseTo(255 * 0.461356129500442, within(1e-9));
    double h = 1e-4;
    double up = log2(curve.display(0.18 * Math.pow(2, h)));
    double down = log2(curve.display(0.18 * Math.pow(2, -h)));
    assertThat((up - down) / (2 * h)).isCloseTo(slope, within(1e-4));
  }

  @Property
  void scene_isTheInverseOfCode(
      @ForAll @DoubleRange(min = 0.9, max = 1.5) double slope,
      @ForAll @DoubleRange(min = 5, max = 250) double code) {
    ToneCurve curve = new ToneCurve(slope);
    assertThat(curve.code(curve.scene(code))).isCloseTo(code, within(1e-6));
  }
}
