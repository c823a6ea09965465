package samelight.engine.proof;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static samelight.engine.testing.FrameBuilder.frame;

import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import samelight.engine.colour.Bradford;
import samelight.engine.colour.Chromaticity;
import samelight.engine.colour.Matrix3;
import samelight.engine.colour.Planckian;
import samelight.engine.colour.WhiteTemperature;
import samelight.engine.frame.Frame;
import samelight.engine.frame.SmallImage;
import samelight.engine.match.Evidence;
import samelight.engine.match.Grade;
import samelight.engine.match.Match;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;
import samelight.engine.quantity.Mired;

class ProofTest {
  private static final BodyResponse CAMERA = BodyResponse.learn(List.of());

  private static int[] render(BodyResponse response, Matrix3 light, double stops, int... rgb) {
    SmallImage one = new SmallImage(1, 1, new byte[] {(byte) rgb[0], (byte) rgb[1], (byte) rgb[2]});
    SmallImage out = new Proof(response).render(one, light, new Ev(stops));
    return new int[] {out.code(0, 0, 0), out.code(0, 0, 1), out.code(0, 0, 2)};
  }

  private static int grey(BodyResponse response, double stops, int code) {
    return render(response, Matrix3.IDENTITY, stops, code, code, code)[0];
  }

  /** Worked with the formulas of IEC 61966-2-1 outside this project: decode, times 2^s, encode. */
  @ParameterizedTest
  @CsvSource({
    "1, 30, 45", "1, 64, 90", "1, 100, 138", "1, 118, 162", "1, 128, 176", "1, 180, 245",
    "1, 200, 255", "-1, 30, 19", "-1, 64, 44", "-1, 100, 71", "-1, 118, 85", "-1, 128, 92",
    "-1, 180, 131", "-1, 255, 188", "0.5, 30, 37", "0.5, 64, 76", "0.5, 128, 150", "0.5, 200, 233"
  })
  void render_plainSrgb_givesTheWorkedCode(double stops, int code, int expected) {
    assertThat(grey(BodyResponse.SRGB, stops, code)).isEqualTo(expected);
  }

  /** The same with 1.15 stops rendered per stop: decode, times 2^(1.15 s), encode. */
  @ParameterizedTest
  @CsvSource({
    "1, 30, 47", "1, 64, 95", "1, 100, 145", "1, 118, 170", "1, 128, 184", "1, 180, 255",
    "-1, 30, 18", "-1, 64, 42", "-1, 100, 68", "-1, 118, 81", "-1, 128, 88", "-1, 180, 125"
  })
  void render_bodyOfKnownSlope_givesTheWorkedCode(double stops, int code, int expected) {
    assertThat(grey(CAMERA, stops, code)).isEqualTo(expected);
  }

  /**
   * Bradford matrix of ICC.1:2010, Annex E, between chromaticities of Planckian radiators (tables
   * of CIE 15, to five digits, from memory: 4000 K 0.38044 0.37676, 5000 K 0.34510 0.35161, 6500 K
   * 0.31352 0.32363), sRGB matrix of IEC 61966-2-1; worked outside this project.
   */
  @ParameterizedTest
  @CsvSource({
    "4000, 5000, 128 128 128, 116 130 149",
    "4000, 5000, 200 150 100, 188 153 120",
    "6500, 5000, 128 128 128, 138 127 111",
    "6500, 5000, 200 150 100, 210 148 83"
  })
  void render_otherLight_givesTheWorkedPixel(
      double wanted, double balanced, String from, String to) {
    Matrix3 matrix = ProofWhite.between(white(balanced), white(wanted));
    int[] rgb = List.of(from.split(" ")).stream().mapToInt(Integer::parseInt).toArray();
    int[] expected = List.of(to.split(" ")).stream().mapToInt(Integer::parseInt).toArray();
    assertThat(render(BodyResponse.SRGB, matrix, 0, rgb)).containsExactly(expected);
  }

  private static WhiteTemperature white(double kelvin) {
    return new WhiteTemperature(new Kelvin(kelvin), Duv.ZERO);
  }

  @Test
  void between_lights_makesTheOtherLightNeutral() {
    // what 4000 K lights, in a picture balanced for 5500 K, has the colour that Bradford gives it
    Chromaticity lamp = Planckian.chromaticity(white(4000));
    Matrix3 seen = Bradford.adaptation(Planckian.chromaticity(white(5500)), lamp);
    Matrix3 toRgb =
        Matrix3.of(0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505)
            .inverse();
    double[] cast = toRgb.times(seen.times(new double[] {0.9505, 1, 1.089}));
    double[] even = ProofWhite.between(white(5500), white(4000)).times(cast);
    assertThat(even[0] / even[1]).isCloseTo(1, within(1e-3));
    assertThat(even[2] / even[1]).isCloseTo(1, within(1e-3));
  }

  @Property(tries = 200)
  void render_thereAndBack_returnsWithinOneCode(
      @ForAll @IntRange(min = 40, max = 180) int code,
      @ForAll @DoubleRange(min = -1, max = 0.5) double stops) {
    int there = grey(CAMERA, stops, code);
    assertThat(grey(CAMERA, -stops, there)).isCloseTo(code, within(2));
  }

  @Property(tries = 100)
  void rendered_isTheInverseOfAt(@ForAll @DoubleRange(min = -12, max = 2) double level) {
    assertThat(CAMERA.rendered(CAMERA.at(level))).isCloseTo(level, within(1e-9));
  }

  @Test
  void render_nothingToChange_isTheSamePicture() {
    SmallImage image = new SmallImage(2, 1, new byte[] {1, 2, 3, 4, 5, 6});
    assertThat(new Proof(CAMERA).render(image, Matrix3.IDENTITY, Ev.ZERO)).isSameAs(image);
  }

  private static Match match(double mired) {
    return new Match(
        "f.DNG",
        "r.DNG",
        Ev.ZERO,
        Ev.ZERO,
        new Mired(mired),
        Mired.ZERO,
        Duv.ZERO,
        List.of(),
        new Evidence(Ev.ZERO, Ev.ZERO, "", List.of(), List.of()));
  }

  @Test
  void matrix_driftOfAutomaticBalance_isTakenOut() {
    // the light is the same, but the camera balanced the frame 20 mired warmer than the reference
    Frame reference = frame("r.DNG").kelvin(5000).build();
    Frame drifted = frame("f.DNG").kelvin(1e6 / 220).build();
    Matrix3 expected = ProofWhite.between(white(1e6 / 220), white(5000));
    assertThat(ProofWhite.matrix(drifted, reference, match(0), null)).isEqualTo(expected);
  }

  @Test
  void matrix_gradeOfTheReference_movesTheFrameByItsMatch() {
    Frame reference = frame("r.DNG").kelvin(5000).build();
    Frame other = frame("f.DNG").kelvin(5000).build();
    Grade grade = new Grade(Ev.ZERO, new Kelvin(4000), null);
    assertThat(ProofWhite.matrix(other, reference, match(10), grade))
        .isEqualTo(ProofWhite.between(white(5000), white(1e6 / 260)));
    assertThat(ProofWhite.matrix(reference, reference, match(0), null)).isEqualTo(Matrix3.IDENTITY);
  }

  @Test
  void brightness_oneStopMore_isOneStopMore() {
    SmallImage shot = new SmallImage(1, 1, new byte[] {100, 100, 100});
    SmallImage brighter = new Proof(BodyResponse.SRGB).render(shot, Matrix3.IDENTITY, new Ev(1));
    assertThat(MidTones.brightness(shot, brighter) - MidTones.brightness(shot, shot))
        .isCloseTo(1, within(0.02));
  }

  @Test
  void spread_ofTwenty_isMedianAndNinetyFifth() {
    List<Double> values = new java.util.ArrayList<>();
    for (int i = 0; i <= 20; i++) {
      values.add(-1 + i * 0.1);
    }
    MidTones.Spread spread = MidTones.spread(values);
    assertThat(spread.median()).isCloseTo(0.5, within(1e-9));
    assertThat(spread.p95()).isCloseTo(1.0, within(1e-9));
    assertThat(MidTones.spread(List.of()).median()).isNaN();
  }
}
