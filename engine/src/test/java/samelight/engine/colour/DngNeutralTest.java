package samelight.engine.colour;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Scale;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Kelvin;

/**
 * The method of the DNG specification on the values of colour-science/colour-hdri,
 * models/tests/test_adobe_dng.py (BSD). That source takes colour temperature by another method (0.7
 * mired apart at this white), so its chromaticity is met within 4e-6 and not to its last digit.
 */
class DngNeutralTest {
  private static final DngNeutral EXAMPLE = Cameras.EXAMPLE;
  private static final Chromaticity WHITE = new Chromaticity(.32816244, .34698169);
  private static final Matrix3 CALIBRATION = Matrix3.diagonal(.9603, 1, .9664);
  private static final double CLOSE = 4e-6;

  private static void assertWhite(Chromaticity actual) {
    assertThat(actual.x()).isCloseTo(WHITE.x(), within(CLOSE));
    assertThat(actual.y()).isCloseTo(WHITE.y(), within(CLOSE));
  }

  private static void assertNeutral(CameraNeutral actual, double red, double blue) {
    assertThat(actual.red()).isCloseTo(red, within(CLOSE));
    assertThat(actual.blue()).isCloseTo(blue, within(CLOSE));
  }

  @Test
  void chromaticity_workedExample() {
    assertWhite(EXAMPLE.chromaticity(new CameraNeutral(.41306999, .646465)).orElseThrow());
    assertNeutral(EXAMPLE.neutral(WHITE).orElseThrow(), .41306999, .646465);
  }

  /** The example's temperature, computed apart from this code: 5684.83 K. */
  @Test
  void chromaticity_workedExample_temperature() {
    Chromaticity white = EXAMPLE.chromaticity(new CameraNeutral(.41306999, .646465)).orElseThrow();
    assertThat(Planckian.temperature(white).orElseThrow().kelvin().value())
        .isCloseTo(5684.83, within(1.5));
  }

  @Test
  void chromaticity_withCameraCalibration() {
    DngNeutral calibrated = EXAMPLE.calibrated(CALIBRATION, CALIBRATION);
    assertWhite(calibrated.chromaticity(new CameraNeutral(.39667111, .62474378)).orElseThrow());
    assertNeutral(calibrated.neutral(WHITE).orElseThrow(), .39667111, .62474378);
  }

  /** One matrix only; the example's first, held at every temperature. */
  @Test
  void chromaticity_withOneMatrix_needsNoIteration() {
    DngNeutral single =
        DngNeutral.of(
            Matrix3.of(.5309, -.0229, -.0336, -.6241, 1.3265, .3337, -.0817, .1215, .6664));
    CameraNeutral neutral = single.neutral(WHITE).orElseThrow();
    Chromaticity back = single.chromaticity(neutral).orElseThrow();
    assertThat(back.x()).isCloseTo(WHITE.x(), within(1e-12));
    assertThat(back.y()).isCloseTo(WHITE.y(), within(1e-12));
    assertThat(single.xyzToCamera(new Kelvin(9000)))
        .isEqualTo(single.xyzToCamera(new Kelvin(2000)));
  }

  @Test
  void xyzToCamera_published() {
    double[] at5000 = {
      0.48549082,
      0.04081068,
      -0.07142822,
      -0.74332781,
      1.49565493,
      0.26807493,
      -0.13369466,
      0.17678740,
      0.66540452
    };
    for (int i = 0; i < 9; i++) {
      assertThat(EXAMPLE.xyzToCamera(new Kelvin(5000)).at(i / 3, i % 3))
          .isCloseTo(at5000[i], within(6e-9));
    }
  }

  @Test
  void xyzToCamera_beyondTheIlluminants_isHeld() {
    assertThat(EXAMPLE.xyzToCamera(new Kelvin(1000)))
        .isEqualTo(EXAMPLE.xyzToCamera(new Kelvin(2850)));
    assertThat(EXAMPLE.xyzToCamera(new Kelvin(2850)).at(0, 0)).isEqualTo(.5309);
    assertThat(EXAMPLE.xyzToCamera(new Kelvin(10000)))
        .isEqualTo(EXAMPLE.xyzToCamera(new Kelvin(6500)));
    assertThat(EXAMPLE.xyzToCamera(new Kelvin(6500)).at(1, 1)).isEqualTo(1.5474);
  }

  /** AnalogBalance multiplies the camera's channels, so it scales the neutral. */
  @Test
  void neutral_withAnalogBalance_isScaled() {
    CameraNeutral plain = EXAMPLE.neutral(WHITE).orElseThrow();
    DngNeutral balanced = EXAMPLE.balanced(2, 1, 1.5);
    CameraNeutral scaled = balanced.neutral(WHITE).orElseThrow();
    assertThat(scaled.red()).isCloseTo(2 * plain.red(), within(1e-12));
    assertThat(scaled.blue()).isCloseTo(1.5 * plain.blue(), within(1e-12));
    Chromaticity back = balanced.chromaticity(scaled).orElseThrow();
    assertThat(back.x()).isCloseTo(WHITE.x(), within(1e-8));
  }

  @Test
  void chromaticity_illuminantsInReverse_isTheSame() {
    DngNeutral reversed =
        DngNeutral.of(
            Matrix3.of(.4716, .0603, -.0830, -.7798, 1.5474, .2480, -.1496, .1937, .6651),
            new Kelvin(6500),
            Matrix3.of(.5309, -.0229, -.0336, -.6241, 1.3265, .3337, -.0817, .1215, .6664),
            new Kelvin(2850));
    CameraNeutral neutral = new CameraNeutral(.5, .45);
    Chromaticity one = EXAMPLE.chromaticity(neutral).orElseThrow();
    Chromaticity other = reversed.chromaticity(neutral).orElseThrow();
    assertThat(other.x()).isCloseTo(one.x(), within(1e-8));
    assertThat(other.y()).isCloseTo(one.y(), within(1e-8));
  }

  @Test
  void chromaticity_noRealColour_isEmpty() {
    assertThat(EXAMPLE.chromaticity(new CameraNeutral(0.01, 900))).isEmpty();
  }

  @Test
  void of_singularMatrix_refused() {
    assertThatThrownBy(() -> DngNeutral.of(Matrix3.diagonal(1, 0, 1)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("matrix must have an inverse");
    assertThatThrownBy(() -> EXAMPLE.balanced(1, 0, 1))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> EXAMPLE.calibrated(Matrix3.IDENTITY, Matrix3.diagonal(0, 0, 0)))
        .isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void of_equalIlluminants_refused() {
    assertThatThrownBy(
            () ->
                DngNeutral.of(
                    Matrix3.IDENTITY, new Kelvin(5000), Matrix3.IDENTITY, new Kelvin(5000)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("calibration illuminants must differ, both were 5000.0 K");
  }

  @Property(tries = 300)
  void chromaticity_ofANeutral_comesBack(
      @ForAll @Scale(2) @DoubleRange(min = 2500, max = 12000) double kelvin,
      @ForAll @Scale(5) @DoubleRange(min = -.02, max = .01) double duv) {
    Chromaticity white =
        Planckian.chromaticity(new WhiteTemperature(new Kelvin(kelvin), new Duv(duv)));
    for (DngNeutral camera : Cameras.REAL.values()) {
      Chromaticity back = camera.chromaticity(camera.neutral(white).orElseThrow()).orElseThrow();
      assertThat(back.x()).isCloseTo(white.x(), within(1e-7));
      assertThat(back.y()).isCloseTo(white.y(), within(1e-7));
    }
  }
}
