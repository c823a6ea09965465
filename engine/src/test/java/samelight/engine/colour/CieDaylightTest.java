package samelight.engine.colour;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Scale;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.quantity.Kelvin;

class CieDaylightTest {
  /** colour-science/colour, temperature/tests/test_cie_d.py (BSD); middle rows computed apart. */
  @ParameterizedTest
  @CsvSource({
    "4000, .382343625, .383766261",
    "5003, .345653, .358596",
    "5503, .332430, .347545",
    "6504.38938305, .312707740, .329112881",
    "7000, .305357431, .321646345",
    "7504, .299045, .314976",
    "25000, .249853670, .254799464"
  })
  void chromaticity_published(double kelvin, double x, double y) {
    Chromaticity daylight = CieDaylight.chromaticity(new Kelvin(kelvin));
    assertThat(daylight.x()).isCloseTo(x, within(6e-7));
    assertThat(daylight.y()).isCloseTo(y, within(6e-7));
  }

  @ParameterizedTest
  @ValueSource(doubles = {3999.9, 25000.1, 1000})
  void chromaticity_outOfRange_refused(double kelvin) {
    assertThatThrownBy(() -> CieDaylight.chromaticity(new Kelvin(kelvin)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("CIE daylight needs a temperature within 4000 and 25000 K, was " + kelvin);
  }

  /**
   * The locus is made so that its correlated colour temperature is the argument, within 2 mired.
   */
  @Property
  void chromaticity_hasItsTemperatureAndLiesAboveTheLocus(
      @ForAll @Scale(2) @DoubleRange(min = 4000, max = 25000) double kelvin) {
    WhiteTemperature white =
        Planckian.temperature(CieDaylight.chromaticity(new Kelvin(kelvin))).orElseThrow();
    assertThat(1e6 / white.kelvin().value()).isCloseTo(1e6 / kelvin, within(0.8));
    assertThat(white.duv().value()).isBetween(0.0005, 0.004);
  }
}
