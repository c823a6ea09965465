package samelight.engine.colour;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Every method on the same standard whites. */
class StandardWhitesTest {
  /**
   * Rows: illuminants A, D50, D55, D65, D75, E, F2, F11, LED-B3. x, y: colour-science/colour (BSD),
   * CIE 1931 2&deg; observer, for the last three from their CIE 1960 u, v. Columns: x, y, Planckian
   * temperature and Duv, and temperatures by Robertson, McCamy and Hern&aacute;ndez, computed apart
   * from this code (locus at 1 nm, c2 = 1.4388e-2 m K, the published tables and coefficients).
   */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          .44758      | .40745      | 2855.5 |  .00000 | 2855.6 | 2857.1 | 2790.5
          .34570      | .35850      | 5000.7 |  .00319 | 5000.7 | 5001.0 | 5001.4
          .33243      | .34744      | 5502.4 |  .00325 | 5501.1 | 5502.2 | 5501.1
          .31270      | .32900      | 6504.3 |  .00321 | 6503.7 | 6505.1 | 6500.7
          .29903      | .31488      | 7505.1 |  .00314 | 7504.8 | 7500.6 | 7502.2
          .3333333333 | .3333333333 | 5455.5 | -.00442 | 5454.0 | 5459.0 | 5476.0
          """)
  void temperature_standardWhite_matchesPublishedMethods(
      double x,
      double y,
      double kelvin,
      double duv,
      double robertson,
      double mcCamy,
      double hernandez) {
    Chromaticity white = new Chromaticity(x, y);
    WhiteTemperature exact = Planckian.temperature(white).orElseThrow();
    assertThat(exact.kelvin().value()).isCloseTo(kelvin, within(0.15));
    assertThat(exact.duv().value()).isCloseTo(duv, within(6e-6));
    WhiteTemperature ohno = Ohno2013.temperature(white).orElseThrow();
    assertThat(ohno.kelvin().value()).isCloseTo(kelvin, within(0.3));
    assertThat(ohno.duv().value()).isCloseTo(duv, within(6e-6));
    WhiteTemperature byLines = Robertson1968.temperature(white).orElseThrow();
    assertThat(byLines.kelvin().value()).isCloseTo(robertson, within(0.06));
    assertThat(byLines.duv().value()).isCloseTo(duv, within(1e-4));
    assertThat(McCamy1992.cct(white).value()).isCloseTo(mcCamy, within(0.06));
    assertThat(HernandezAndres1999.cct(white).value()).isCloseTo(hernandez, within(0.06));
  }

  /** The lamps F2, F11 and LED-B3 by their CIE 1960 u, v: same source and columns. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          .22028 | .33308 | 4223.4 |  .00177 | 4222.7 | 4228.8 | 4228.2
          .22509 | .33444 | 3999.5 |  .00005 | 3999.6 | 4008.3 | 4008.0
          .22369 | .33259 | 4103.0 | -.00065 | 4102.6 | 4112.1 | 4115.6
          """)
  void temperature_lampByUv_matchesPublishedMethods(
      double u,
      double v,
      double kelvin,
      double duv,
      double robertson,
      double mcCamy,
      double hernandez) {
    Chromaticity white = Chromaticity.ofUv1960(u, v);
    // u and v have five places, half of which is 0.15 K and 5e-6.
    assertThat(Planckian.temperature(white).orElseThrow().kelvin().value())
        .isCloseTo(kelvin, within(0.5));
    assertThat(Planckian.temperature(white).orElseThrow().duv().value())
        .isCloseTo(duv, within(1.2e-5));
    assertThat(Robertson1968.temperature(white).orElseThrow().kelvin().value())
        .isCloseTo(robertson, within(0.5));
    assertThat(McCamy1992.cct(white).value()).isCloseTo(mcCamy, within(0.5));
    assertThat(HernandezAndres1999.cct(white).value()).isCloseTo(hernandez, within(0.5));
  }
}
