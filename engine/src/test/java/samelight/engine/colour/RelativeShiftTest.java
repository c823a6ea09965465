package samelight.engine.colour;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Scale;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Kelvin;
import samelight.engine.quantity.Mired;

/** The shift without matrices, against the shift that the matrices of real cameras give. */
class RelativeShiftTest {
  private static CameraNeutral neutral(DngNeutral camera, double mired, double duv) {
    WhiteTemperature white = new WhiteTemperature(new Kelvin(1e6 / mired), new Duv(duv));
    return camera.neutral(Planckian.chromaticity(white)).orElseThrow();
  }

  @Property(tries = 300)
  void between_planckianLights_isWithinItsStatedError(
      @ForAll @Scale(2) @DoubleRange(min = 150, max = 360) double from,
      @ForAll @Scale(2) @DoubleRange(min = 150, max = 360) double to) {
    double shift = to - from;
    Cameras.REAL.forEach(
        (name, camera) -> {
          LightShift found =
              RelativeShift.between(neutral(camera, from, 0), neutral(camera, to, 0)).orElseThrow();
          assertThat(found.mired().value())
              .as("%s, %.1f to %.1f mired", name, from, to)
              .isCloseTo(shift, within(0.5 + 0.4 * Math.abs(shift)));
        });
  }

  @Property(tries = 300)
  void between_lightsOffTheLocus_isWithinItsStatedError(
      @ForAll @Scale(2) @DoubleRange(min = 160, max = 350) double from,
      @ForAll @Scale(2) @DoubleRange(min = -30, max = 30) double shift,
      @ForAll @Scale(5) @DoubleRange(min = -.006, max = .006) double duvFrom,
      @ForAll @Scale(5) @DoubleRange(min = -.006, max = .006) double duvTo) {
    double to = Math.min(360, Math.max(150, from + shift));
    Cameras.REAL.forEach(
        (name, camera) -> {
          LightShift found =
              RelativeShift.between(neutral(camera, from, duvFrom), neutral(camera, to, duvTo))
                  .orElseThrow();
          double duv = duvTo - duvFrom;
          assertThat(found.duv().value()).as("Duv, %s", name).isCloseTo(duv, within(0.0022));
          assertThat(found.mired().value())
              .as("mired, %s", name)
              .isCloseTo(to - from, within(0.5 + 0.4 * Math.abs(to - from) + 1500 * Math.abs(duv)));
        });
  }

  @Test
  void between_warmerLight_isPositive() {
    LightShift shift =
        RelativeShift.between(neutral(Cameras.EXAMPLE, 180, 0), neutral(Cameras.EXAMPLE, 300, 0))
            .orElseThrow();
    assertThat(shift.mired().value()).isBetween(110.0, 130.0);
    assertThat(shift.miredSigma().value()).isBetween(13.0, 16.0);
  }

  @Test
  void between_greenerLight_hasPositiveDuv() {
    LightShift shift =
        RelativeShift.between(neutral(Cameras.EXAMPLE, 220, 0), neutral(Cameras.EXAMPLE, 220, .005))
            .orElseThrow();
    assertThat(shift.duv().value()).isCloseTo(.005, within(.001));
  }

  @Test
  void between_sameNeutral_isNone() {
    CameraNeutral n = new CameraNeutral(.5, .6);
    assertThat(RelativeShift.between(n, n)).contains(LightShift.NONE);
  }

  @Property(tries = 300)
  void between_isAntisymmetric(
      @ForAll @Scale(3) @DoubleRange(min = .2, max = 1.5) double red1,
      @ForAll @Scale(3) @DoubleRange(min = .2, max = 1.5) double blue1,
      @ForAll @Scale(3) @DoubleRange(min = .2, max = 1.5) double red2,
      @ForAll @Scale(3) @DoubleRange(min = .2, max = 1.5) double blue2) {
    CameraNeutral a = new CameraNeutral(red1, blue1);
    CameraNeutral b = new CameraNeutral(red2, blue2);
    var there = RelativeShift.between(a, b);
    var back = RelativeShift.between(b, a);
    assertThat(there.isPresent()).isEqualTo(back.isPresent());
    if (there.isPresent() && back.isPresent()) {
      assertThat(there.get().mired().plus(back.get().mired()).value()).isCloseTo(0, within(1e-9));
      assertThat(there.get().duv().value()).isCloseTo(-back.get().duv().value(), within(1e-12));
    }
  }

  @Test
  void between_noLightExplainsIt_isEmpty() {
    assertThat(RelativeShift.between(new CameraNeutral(.1, .5), new CameraNeutral(10, .5)))
        .isEmpty();
    assertThat(RelativeShift.between(new CameraNeutral(.1, .1), new CameraNeutral(1.5, 1.5)))
        .isEmpty();
  }

  @Test
  void none_isZero() {
    assertThat(LightShift.NONE.mired()).isEqualTo(Mired.ZERO);
  }
}
