package samelight.samples.light;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Scale;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The samples' own light formulas against published figures. */
class PublishedLightTest {

  /** colour-science, colour/temperature/tests/test_krystek1985.py. */
  @ParameterizedTest
  @CsvSource({
    "1000, 0.448087794140145, 0.354731965027727",
    "7000, 0.198152565091092, 0.307023596915037",
    "15000, 0.185675876767054, 0.282233658593898"
  })
  void chromaticity_krystek(double kelvin, double u, double v) {
    Chromaticity c = Krystek1985.chromaticity(kelvin, 0);
    assertThat(c.u()).isCloseTo(u, within(1e-12));
    assertThat(c.v()).isCloseTo(v, within(1e-12));
  }

  /** colour-science, colour/temperature/tests/test_cie_d.py; 6504.389 K likewise. */
  @ParameterizedTest
  @CsvSource({
    "4000, 0.382343625, 0.383766261",
    "7000, 0.305357431, 0.321646345",
    "25000, 0.24985367, 0.254799464",
    "6504.389, 0.3127077, 0.3291128"
  })
  void chromaticity_daylight(double kelvin, double x, double y) {
    Chromaticity c = CieDaylight.chromaticity(kelvin);
    assertThat(c.x()).isCloseTo(x, within(1e-7));
    assertThat(c.y()).isCloseTo(y, within(1e-7));
  }

  /**
   * Standard illuminants (xy: colour-science datasets); temperatures and Duv computed from Planck's
   * law and the CIE 1931 observer at 1 nm. Krystek's fit may be off by 9e-5 in u and v, which is
   * about 0.3 mired here.
   */
  @ParameterizedTest
  @CsvSource({
    "A, 0.44758, 0.40745, 2855.5, 0",
    "D50, 0.34570, 0.35850, 5000.7, 0.00319",
    "D55, 0.33243, 0.34744, 5502.4, 0.00325",
    "D65, 0.31270, 0.32900, 6504.3, 0.00321",
    "D75, 0.29903, 0.31488, 7505.1, 0.00314",
    "E, 0.333333, 0.333333, 5455.5, -0.00442"
  })
  void kelvin_standardIlluminants(String name, double x, double y, double kelvin, double duv) {
    Chromaticity c = new Chromaticity(x, y);
    assertThat(1e6 / Krystek1985.kelvin(c)).as(name).isCloseTo(1e6 / kelvin, within(0.4));
    assertThat(Krystek1985.duv(c)).as(name).isCloseTo(duv, within(1.4e-4));
  }

  /**
   * EV and illuminance at C = 250: ISO 2720 constants; table of e-com-net.com 1275207877182636032.
   */
  @ParameterizedTest
  @CsvSource({"-4, 0.156", "0, 2.5", "5, 80", "12, 10240"})
  void lux_table(double ev, double lux) {
    assertThat(Light.lamp(ev, 3000, 0).lux()).isCloseTo(lux, within(lux * 0.005));
  }

  @Property
  void kelvin_roundTripOffTheLocus(
      @ForAll @DoubleRange(min = 2600, max = 12000) double kelvin,
      @ForAll @DoubleRange(min = -0.015, max = 0.015) @Scale(4) double duv) {
    Chromaticity c = Krystek1985.chromaticity(kelvin, duv);
    assertThat(1e6 / Krystek1985.kelvin(c)).isCloseTo(1e6 / kelvin, within(0.05));
    assertThat(Krystek1985.duv(c)).isCloseTo(duv, within(1e-5));
  }

  @Property
  void plus_twoEqualLightsAreOneStopBrighter(
      @ForAll @DoubleRange(min = -5, max = 15) double ev,
      @ForAll @DoubleRange(min = 2000, max = 9000) double kelvin) {
    Light light = Light.lamp(ev, kelvin, 0);
    Light both = light.plus(light);
    assertThat(both.ev100()).isCloseTo(ev + 1, within(1e-9));
    assertThat(both.kelvin()).isCloseTo(kelvin, within(0.1));
  }

  @Property
  void flicker_isTheMeanOverTheExposure(
      @ForAll @DoubleRange(min = 0, max = 0.01) @Scale(6) double opens,
      @ForAll @DoubleRange(min = 0.0005, max = 0.03) @Scale(6) double lasts,
      @ForAll @DoubleRange(min = 0, max = 0.9) double depth) {
    double sum = 0;
    int n = 4000;
    for (int i = 0; i < n; i++) {
      double t = opens + lasts * (i + 0.5) / n;
      sum += 1 + depth * Math.cos(2 * Math.PI * 100 * t);
    }
    assertThat(new MainsFlicker(100, depth).stops(opens, lasts))
        .isCloseTo(Math.log(sum / n) / Math.log(2), within(1e-5));
  }

  @ParameterizedTest
  @CsvSource({"999", "15001", "NaN"})
  void chromaticity_outOfRange_saysSo(double kelvin) {
    assertThatThrownBy(() -> Krystek1985.chromaticity(kelvin, 0))
        .hasMessageContaining("1000 to 15000 K, got " + kelvin);
  }
}
