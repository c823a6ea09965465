package samelight.engine.colour;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Scale;
import org.junit.jupiter.api.Test;
import samelight.engine.quantity.Kelvin;

class BradfordTest {
  private static Chromaticity ofXyz(double x, double y, double z) {
    return new Chromaticity(x / (x + y + z), y / (x + y + z));
  }

  private static void assertClose(Matrix3 actual, double tolerance, double... expected) {
    for (int i = 0; i < 9; i++) {
      assertThat(actual.at(i / 3, i % 3))
          .as("element %d", i)
          .isCloseTo(expected[i], within(tolerance));
    }
  }

  /** colour-science/colour, adaptation/tests/test_vonkries.py (BSD): A to D65. */
  @Test
  void adaptation_tungstenToDaylight() {
    assertClose(
        Bradford.adaptation(ofXyz(1.09846607, 1, 0.35582280), ofXyz(0.95042855, 1, 1.08890037)),
        2e-8,
        0.84467949,
        -0.11793553,
        0.39489408,
        -0.13664085,
        1.10412369,
        0.12919812,
        0.07986716,
        -0.13493155,
        3.19288296);
  }

  /** brucelindbloom.com, "Chromatic Adaptation": Bradford, D65 to D50, whites of ASTM E308. */
  @Test
  void adaptation_d65ToD50() {
    assertClose(
        Bradford.adaptation(ofXyz(0.95047, 1, 1.08883), ofXyz(0.96422, 1, 0.82521)),
        6e-8,
        1.0478112,
        0.0228866,
        -0.0501270,
        0.0295424,
        0.9904844,
        -0.0170491,
        -0.0092345,
        0.0150436,
        0.7521316);
  }

  @Test
  void adaptation_sameWhite_changesNothing() {
    assertClose(
        Bradford.adaptation(Chromaticity.D50, Chromaticity.D50), 1e-12, 1, 0, 0, 0, 1, 0, 0, 0, 1);
  }

  @Property(tries = 300)
  void adaptation_thereAndBack_changesNothing(
      @ForAll @Scale(1) @DoubleRange(min = 1500, max = 20000) double one,
      @ForAll @Scale(1) @DoubleRange(min = 1500, max = 20000) double other) {
    Chromaticity a = Planckian.chromaticity(new Kelvin(one));
    Chromaticity b = Planckian.chromaticity(new Kelvin(other));
    assertClose(
        Bradford.adaptation(b, a).times(Bradford.adaptation(a, b)),
        1e-9,
        1,
        0,
        0,
        0,
        1,
        0,
        0,
        0,
        1);
    double[] white = Bradford.adaptation(a, b).times(a.xyz());
    assertThat(white[0]).isCloseTo(b.xyz()[0], within(1e-9));
    assertThat(white[1]).isCloseTo(1, within(1e-9));
    assertThat(white[2]).isCloseTo(b.xyz()[2], within(1e-9));
  }

  @Test
  void adaptation_fromNoWhite_refused() {
    Chromaticity blue = new Chromaticity(0.1, 0.00001);
    assertThatThrownBy(() -> Bradford.adaptation(blue, Chromaticity.D50))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("positive cone responses")
        .hasMessageContaining("0.1");
  }
}
