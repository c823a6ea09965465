package samelight.engine.colour;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.quantity.Kelvin;

class LightSourcesTest {
  /** Exif 2.2 (JEITA CP-3451): codes 12 to 15; 16 and the other limits as in ExifTool 12.57. */
  @ParameterizedTest
  @CsvSource({
    "12, 5700, 7100, 5700, 7100",
    "13, 4600, 5400, 4600, 5500",
    "14, 3900, 4500, 3800, 4500",
    "15, 3200, 3700, 3250, 3800",
    "16, 2600, 3250, 2600, 3250"
  })
  void nominal_fluorescent_liesInBothVersionsRanges(
      int code, double oldLow, double oldHigh, double low, double high) {
    LightSources.Nominal light = LightSources.nominal(code).orElseThrow();
    assertThat(light.lowest()).isEqualTo(new Kelvin(low));
    assertThat(light.highest()).isEqualTo(new Kelvin(high));
    assertThat(light.kelvin().value()).isBetween(oldLow, oldHigh).isBetween(low, high);
  }

  /** Standard illuminants: the temperature of their chromaticity (x, y: colour-science/colour). */
  @ParameterizedTest
  @CsvSource({
    "17, .44758, .40745",
    "18, .34842, .35161",
    "19, .31006, .31616",
    "20, .33243, .34744",
    "21, .31270, .32900",
    "22, .29903, .31488",
    "23, .34570, .35850"
  })
  void nominal_illuminant_isThatOfItsChromaticity(int code, double x, double y) {
    double kelvin = LightSources.nominal(code).orElseThrow().kelvin().value();
    double computed = Planckian.temperature(new Chromaticity(x, y)).orElseThrow().kelvin().value();
    assertThat(kelvin).isCloseTo(computed, within(3.0));
  }

  /** Common practice, no source. */
  @ParameterizedTest
  @CsvSource({"1, 5500", "3, 2856", "4, 5500", "9, 5500", "10, 6500", "11, 7500", "24, 3200"})
  void nominal_preset(int code, double kelvin) {
    assertThat(LightSources.nominal(code).orElseThrow().kelvin()).isEqualTo(new Kelvin(kelvin));
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 255, 5, 8, 25, -1, 65535})
  void nominal_unknown_isEmpty(int code) {
    assertThat(LightSources.nominal(code)).isEmpty();
  }

  @Test
  void nominal_outsideItsRange_refused() {
    assertThatThrownBy(
            () -> new LightSources.Nominal(new Kelvin(6000), new Kelvin(4000), new Kelvin(5000)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("within its range 4000.0 and 5000.0 K, was 6000.0");
  }
}
