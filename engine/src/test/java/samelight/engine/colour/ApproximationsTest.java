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
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Kelvin;

/** Published values of the approximate methods; colour-science/colour, temperature/tests (BSD). */
class ApproximationsTest {
  @ParameterizedTest
  @CsvSource({
    ".31270, .32900, 6505.08059131",
    ".44757, .40745, 2857.28961266",
    ".252520939374083, .252220883926284, 19501.61953130"
  })
  void mcCamy_published(double x, double y, double kelvin) {
    assertThat(McCamy1992.cct(new Chromaticity(x, y)).value()).isCloseTo(kelvin, within(1e-7));
  }

  @ParameterizedTest
  @CsvSource({
    ".31270, .32900, 6500.74204318",
    ".44757, .40745, 2790.64222533",
    ".244162248213914, .240333674758318, 64448.11092565"
  })
  void hernandez_published(double x, double y, double kelvin) {
    assertThat(HernandezAndres1999.cct(new Chromaticity(x, y)).value())
        .isCloseTo(kelvin, within(1e-7));
  }

  /** McCamy states 2 K near daylight; on the locus itself 10.1 K (computed). */
  @Property(tries = 300)
  void mcCamy_onTheLocus_isClose(
      @ForAll @Scale(3) @DoubleRange(min = 2856, max = 6500) double kelvin) {
    assertThat(McCamy1992.cct(Planckian.chromaticity(new Kelvin(kelvin))).value())
        .isCloseTo(kelvin, within(10.1));
  }

  @Test
  void mcCamy_farFromWhite_refused() {
    assertThatThrownBy(() -> McCamy1992.cct(new Chromaticity(0.7, 0.1858)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("colour temperature");
    assertThatThrownBy(() -> HernandezAndres1999.cct(new Chromaticity(0.3366, 0.1735)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("NaN");
  }

  @ParameterizedTest
  @CsvSource({
    "2000, -.05, .309448284638118, .309263824757947",
    "2000, 0, .30505, .35907",
    "4500, -.025, .233393122238719, .309269114669175",
    "4500, 0, .217331111111111, .328426666666667",
    "4500, .05, .185207088855895, .366741770661649",
    "7000, -.05, .239763542240142, .279200871249525",
    "7000, .025, .177405371737072, .320871707232380",
    "9500, 0, .191225263157895, .294975789473684",
    "12000, .025, .164821545844918, .297468023966395",
    "19500, -.025, .207757250132674, .269657492602796",
    "32000, .05, .134136521345845, .285378361300677",
    "49500, 0, .181345151515151, .268515151515151"
  })
  void robertson_published(double kelvin, double duv, double u, double v) {
    WhiteTemperature white = new WhiteTemperature(new Kelvin(kelvin), new Duv(duv));
    Chromaticity there = Robertson1968.chromaticity(white);
    assertThat(there.u()).isCloseTo(u, within(5e-8));
    assertThat(there.v()).isCloseTo(v, within(5e-8));
    // The tolerance of the source for the way back.
    WhiteTemperature back = Robertson1968.temperature(Chromaticity.ofUv1960(u, v)).orElseThrow();
    assertThat(back.kelvin().value()).isCloseTo(kelvin, within(0.25));
    assertThat(back.duv().value()).isCloseTo(duv, within(1e-6));
  }

  /** Documented example of the same source, reproduced apart from this code as 6500.0163 K. */
  @Test
  void robertson_documentedExample() {
    WhiteTemperature white =
        Robertson1968.temperature(Chromaticity.ofUv1960(0.193741375998230, 0.315221043940594))
            .orElseThrow();
    assertThat(white.kelvin().value()).isCloseTo(6500.0163, within(1e-4));
    assertThat(white.duv().value()).isCloseTo(.0083333, within(1e-7));
  }

  /** The 325 mired line: 0.24792 gives what the definition gives, the misprint 0.24702 doesn't. */
  @Test
  void robertson_line325_isTheCorrectedOne() {
    double kelvin = 1e6 / 325;
    Chromaticity line =
        Robertson1968.chromaticity(new WhiteTemperature(new Kelvin(kelvin), Duv.ZERO));
    assertThat(line.u()).isCloseTo(Planckian.chromaticity(new Kelvin(kelvin)).u(), within(2e-5));
  }

  @Test
  void robertson_beyondItsLines_isEmptyOrRefused() {
    Chromaticity candle = Planckian.chromaticity(new Kelvin(1500));
    assertThat(Robertson1968.temperature(candle)).isEmpty();
    assertThat(Robertson1968.temperature(new Chromaticity(0.16, 0.02))).isEmpty();
    assertThatThrownBy(
            () -> Robertson1968.chromaticity(new WhiteTemperature(new Kelvin(1600), Duv.ZERO)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("1667 K")
        .hasMessageContaining("1600");
  }

  /** NIST's worked point of the method: uv (.1978, .3122). */
  @Test
  void ohno_published() {
    WhiteTemperature white =
        Ohno2013.temperature(Chromaticity.ofUv1960(.1978, .3122)).orElseThrow();
    assertThat(white.kelvin().value()).isCloseTo(6507.4748, within(0.1));
    assertThat(white.duv().value()).isCloseTo(.00322335, within(1e-6));
  }

  /** Ohno's stated accuracy: 1 K from 1000 to 20,000 K and |Duv| up to 0.03 (NIST, abstract). */
  @Property(tries = 300)
  void ohno_inItsRange_isWithinItsStatedError(
      @ForAll @Scale(2) @DoubleRange(min = 3500, max = 20000) double kelvin,
      @ForAll @Scale(5) @DoubleRange(min = -.03, max = .03) double duv) {
    Chromaticity white =
        Planckian.chromaticity(new WhiteTemperature(new Kelvin(kelvin), new Duv(duv)));
    WhiteTemperature back = Ohno2013.temperature(white).orElseThrow();
    assertThat(back.kelvin().value()).isCloseTo(kelvin, within(1.0));
    assertThat(back.duv().value()).isCloseTo(duv, within(1e-5));
  }

  @Test
  void ohno_beyondItsTable_isEmpty() {
    assertThat(Ohno2013.temperature(Planckian.chromaticity(new Kelvin(900)))).isEmpty();
    assertThat(Ohno2013.temperature(new Chromaticity(0.16, 0.02))).isEmpty();
  }

  /** Robertson's error, seen here against the definition: below 0.06 mired for daylight. */
  @Property(tries = 300)
  void robertson_againstTheDefinition(
      @ForAll @Scale(2) @DoubleRange(min = 2500, max = 20000) double kelvin,
      @ForAll @Scale(5) @DoubleRange(min = -.01, max = .01) double duv) {
    Chromaticity white =
        Planckian.chromaticity(new WhiteTemperature(new Kelvin(kelvin), new Duv(duv)));
    WhiteTemperature back = Robertson1968.temperature(white).orElseThrow();
    assertThat(1e6 / back.kelvin().value()).isCloseTo(1e6 / kelvin, within(0.25));
    assertThat(back.duv().value()).isCloseTo(duv, within(1.2e-4));
  }
}
