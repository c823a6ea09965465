package samelight.engine.colour;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Scale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ChromaticityTest {
  /** u, v of illuminants A, D50, D65, E; computed apart from this code. */
  @ParameterizedTest
  @CsvSource({
    ".44758, .40745, .25597, .34953", ".34570, .35850, .20918, .32539",
    ".31270, .32900, .19783, .31221", ".3333333, .3333333, .21053, .31579"
  })
  void uv_illuminant(double x, double y, double u, double v) {
    Chromaticity white = new Chromaticity(x, y);
    assertThat(white.u()).isCloseTo(u, within(5.1e-6));
    assertThat(white.v()).isCloseTo(v, within(5.1e-6));
    assertThat(white.uPrime()).isEqualTo(white.u());
    assertThat(white.vPrime()).isCloseTo(1.5 * v, within(8e-6));
  }

  /** CIE 15: u' = 4x/(-2x + 12y + 3), v' = 9y/(-2x + 12y + 3); D65 is (0.1978, 0.4683). */
  @Test
  void uvPrime_d65() {
    assertThat(Chromaticity.D65.uPrime()).isCloseTo(.1978, within(5e-5));
    assertThat(Chromaticity.D65.vPrime()).isCloseTo(.4683, within(5e-5));
  }

  @Property
  void uv_andBack(
      @ForAll @Scale(6) @DoubleRange(min = 0, max = .5) double x,
      @ForAll @Scale(6) @DoubleRange(min = .001, max = .5) double y) {
    Chromaticity c = new Chromaticity(x, y);
    Chromaticity from1960 = Chromaticity.ofUv1960(c.u(), c.v());
    Chromaticity from1976 = Chromaticity.ofUvPrime(c.uPrime(), c.vPrime());
    assertThat(from1960.x()).isCloseTo(x, within(1e-9));
    assertThat(from1960.y()).isCloseTo(y, within(1e-9));
    assertThat(from1976.x()).isCloseTo(x, within(1e-9));
    assertThat(from1976.y()).isCloseTo(y, within(1e-9));
  }

  @ParameterizedTest
  @CsvSource({
    "NaN, .3",
    ".3, NaN",
    "-.001, .3",
    ".3, 0",
    ".3, -.1",
    ".6, .5",
    "Infinity, .3",
    ".3, Infinity"
  })
  void constructor_outOfRange_refused(double x, double y) {
    assertThatThrownBy(() -> new Chromaticity(x, y))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("chromaticity needs x >= 0, y > 0 and x + y <= 1, was (" + x + ", " + y + ")");
  }

  @Test
  void ofUv1960_degenerate_refused() {
    assertThatThrownBy(() -> Chromaticity.ofUv1960(0, 0.5))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> Chromaticity.ofUv1960(Double.NaN, 0.3))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("NaN");
  }
}
