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

class PlanckianTest {
  private static WhiteTemperature white(double kelvin, double duv) {
    return new WhiteTemperature(new Kelvin(kelvin), new Duv(duv));
  }

  /**
   * colour-science/colour, temperature/tests/test_ohno2013.py: its table of the locus, which stops
   * at 780 nm and so differs by 5e-5 at these low temperatures.
   */
  @ParameterizedTest
  @CsvSource({
    "1000, .44796288, .35462962",
    "1003.33333333, .44718423, .35469704",
    "1010, .44563516, .35483063"
  })
  void chromaticity_table(double kelvin, double u, double v) {
    Chromaticity there = Planckian.chromaticity(new Kelvin(kelvin));
    assertThat(there.u()).isCloseTo(u, within(6e-5));
    assertThat(there.v()).isCloseTo(v, within(6e-6));
  }

  /** Points far from the locus; computed apart from this code with the locus at 1 nm. */
  @ParameterizedTest
  @CsvSource({
    ".1978, .3122, 6507.502484875745, .003223678326396263",
    ".4328, .2883, 1041.8608651278475, -.06737755007901658",
    ".2927, .2722, 2445.010871896045, -.08436998882739787"
  })
  void temperature_farFromTheLocus(double u, double v, double kelvin, double duv) {
    WhiteTemperature found = Planckian.temperature(Chromaticity.ofUv1960(u, v)).orElseThrow();
    assertThat(found.kelvin().value()).isCloseTo(kelvin, within(0.1));
    assertThat(found.duv().value()).isCloseTo(duv, within(2e-6));
  }

  /** Computed apart from this code: how far apart two whites one mired apart lie. */
  @ParameterizedTest
  @CsvSource({"150, .000370, .000501", "250, .000350, .000415", "350, .000340, .000361"})
  void chromaticity_stepOfOneMired(double mired, double uv1960, double uvPrime) {
    Chromaticity one = Planckian.chromaticity(new Kelvin(1e6 / (mired - .5)));
    Chromaticity other = Planckian.chromaticity(new Kelvin(1e6 / (mired + .5)));
    assertThat(Math.hypot(other.u() - one.u(), other.v() - one.v()))
        .isCloseTo(uv1960, within(1e-6));
    assertThat(Math.hypot(other.uPrime() - one.uPrime(), other.vPrime() - one.vPrime()))
        .isCloseTo(uvPrime, within(1e-6));
  }

  @Test
  void temperature_sign_greenIsPositive() {
    Chromaticity onLocus = Planckian.chromaticity(new Kelvin(4000));
    Chromaticity greener = Chromaticity.ofUv1960(onLocus.u(), onLocus.v() + .005);
    Chromaticity pinker = Chromaticity.ofUv1960(onLocus.u(), onLocus.v() - .005);
    assertThat(Planckian.temperature(greener).orElseThrow().duv().value()).isPositive();
    assertThat(Planckian.temperature(pinker).orElseThrow().duv().value()).isNegative();
  }

  @Property(tries = 300)
  void temperature_ofItsOwnChromaticity_comesBack(
      @ForAll @Scale(3) @DoubleRange(min = 3500, max = 100_000) double kelvin,
      @ForAll @Scale(6) @DoubleRange(min = -.03, max = .03) double duv) {
    assertComesBack(kelvin, duv);
  }

  /**
   * Warmer light has hardly any room above the locus: 1000 K lies almost at the spectrum's edge.
   */
  @Property(tries = 300)
  void temperature_ofItsOwnWarmChromaticity_comesBack(
      @ForAll @Scale(3) @DoubleRange(min = 600, max = 3500) double kelvin,
      @ForAll @Scale(6) @DoubleRange(min = -.03, max = 0) double duv) {
    assertComesBack(kelvin, duv);
  }

  private static void assertComesBack(double kelvin, double duv) {
    WhiteTemperature back =
        Planckian.temperature(Planckian.chromaticity(white(kelvin, duv))).orElseThrow();
    assertThat(1e6 / back.kelvin().value()).isCloseTo(1e6 / kelvin, within(1e-6));
    assertThat(back.duv().value()).isCloseTo(duv, within(1e-9));
  }

  @Property(tries = 300)
  void temperature_anyChromaticity_isNearestOrEmpty(
      @ForAll @Scale(4) @DoubleRange(min = .01, max = .7) double x,
      @ForAll @Scale(4) @DoubleRange(min = .01, max = .29) double y) {
    Chromaticity any = new Chromaticity(x, y);
    Planckian.temperature(any)
        .ifPresent(
            found -> {
              double distance = Math.abs(found.duv().value());
              for (double kelvin = 600; kelvin < 200_000; kelvin *= 1.1) {
                Chromaticity p = Planckian.chromaticity(new Kelvin(kelvin));
                assertThat(Math.hypot(p.u() - any.u(), p.v() - any.v()))
                    .isGreaterThanOrEqualTo(distance - 1e-9);
              }
            });
  }

  @ParameterizedTest
  @CsvSource({
    ".16, .02", // spectral blue, beyond infinite temperature
    ".73, .265" // spectral red, beyond 500 K
  })
  void temperature_noWhite_isEmpty(double x, double y) {
    assertThat(Planckian.temperature(new Chromaticity(x, y))).isEmpty();
  }

  @Test
  void chromaticity_extremes_areReal() {
    assertThat(Planckian.chromaticity(new Kelvin(Kelvin.MIN)).x()).isBetween(0.6, 0.75);
    // CIE 15: the locus ends at about (0.240, 0.234) for infinite temperature.
    Chromaticity hot = Planckian.chromaticity(new Kelvin(Kelvin.MAX));
    assertThat(hot.x()).isCloseTo(.240, within(.001));
    assertThat(hot.y()).isCloseTo(.234, within(.001));
  }

  @Test
  void chromaticity_noSuchColour_refused() {
    assertThatThrownBy(() -> Planckian.chromaticity(white(1000, .02)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("chromaticity needs");
  }
}
