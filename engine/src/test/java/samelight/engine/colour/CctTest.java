package samelight.engine.colour;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Colour temperature of standard white points.
 *
 * <p>Sources: x, y from colour-science/colour (BSD), illuminants of the CIE 1931 2&deg; observer.
 * Column "exact" was computed apart from this code (CIE 1931 at 1 nm, c2 = 1.4388e-2); so were
 * "robertson", "mccamy" and "hernandez", from the published tables and coefficients.
 */
class CctTest {
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          .44758 | .40745 | 2855.5 | .00000 | 2855.6 | 2857.1 | 2790.5
          .34570 | .35850 | 5000.7 | .00319 | 5000.7 | 5001.0 | 5001.4
          .33243 | .34744 | 5502.4 | .00325 | 5501.1 | 5502.2 | 5501.1
          .31270 | .32900 | 6504.3 | .00321 | 6503.7 | 6505.1 | 6500.7
          .29903 | .31488 | 7505.1 | .00314 | 7504.8 | 7500.6 | 7502.2
          .333333333 | .333333333 | 5455.5 | -.00442 | 5454.0 | 5459.0 | 5476.0
          """)
  void temperature_standardWhite(
      double x,
      double y,
      double exact,
      double duv,
      double robertson,
      double mcCamy,
      double hernandez) {
    Chromaticity white = new Chromaticity(x, y);
    WhiteTemperature planckian = Planckian.temperature(white).orElseThrow();
    WhiteTemperature ohno = Ohno2013.temperature(white).orElseThrow();
    WhiteTemperature byLines = Robertson1968.temperature(white).orElseThrow();
    assertThat(planckian.kelvin().value()).isCloseTo(exact, within(0.15));
    assertThat(planckian.duv().value()).isCloseTo(duv, within(6e-6));
    assertThat(ohno.kelvin().value()).isCloseTo(exact, within(1.0));
    assertThat(ohno.duv().value()).isCloseTo(duv, within(1e-5));
    assertThat(byLines.kelvin().value()).isCloseTo(robertson, within(0.06));
    assertThat(McCamy1992.cct(white).value()).isCloseTo(mcCamy, within(0.06));
    assertThat(HernandezAndres1999.cct(white).value()).isCloseTo(hernandez, within(0.06));
  }
}
