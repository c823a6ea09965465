package samelight.engine.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.function.DoubleFunction;
import java.util.stream.Stream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Scale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

class QuantitiesTest {
  static Stream<Arguments> ranges() {
    return Stream.of(
        range(Duv::new, "Duv must lie within -0.2 and 0.2", -0.2, 0.2, -0.2001, 0.2001),
        range(
            ExposureTime::new,
            "exposure time in seconds must lie within 1.0E-6 and 1000000.0",
            1e-6,
            1e6,
            9e-7,
            1.1e6),
        range(FNumber::new, "f-number must lie within 0.3 and 1024.0", 0.3, 1024, 0.29, 1025),
        range(Iso::new, "ISO sensitivity must lie within 1.0 and 1.0E8", 1, 1e8, 0, 1.1e8),
        range(
            Kelvin::new,
            "colour temperature in kelvin must lie within 500.0 and 1000000.0",
            500,
            1e6,
            499.9,
            1_000_001),
        range(
            Luminance::new,
            "luminance in cd/m² must lie within",
            Double.MIN_VALUE,
            Double.MAX_VALUE,
            0,
            Double.POSITIVE_INFINITY),
        range(
            Illuminance::new,
            "illuminance in lx must lie within",
            Double.MIN_VALUE,
            Double.MAX_VALUE,
            -1,
            Double.POSITIVE_INFINITY));
  }

  private static Arguments range(
      DoubleFunction<Object> constructor,
      String rule,
      double low,
      double high,
      double tooLow,
      double tooHigh) {
    return Arguments.of(constructor, rule, low, high, tooLow, tooHigh);
  }

  @ParameterizedTest(name = "{1}")
  @MethodSource("ranges")
  void constructor_range_messageSaysRuleAndActual(
      DoubleFunction<Object> constructor,
      String rule,
      double low,
      double high,
      double tooLow,
      double tooHigh) {
    assertThat(constructor.apply(low)).isEqualTo(constructor.apply(low)).isNotEqualTo(null);
    assertThat(constructor.apply(high)).isNotEqualTo(constructor.apply(low));
    for (double bad :
        new double[] {
          tooLow, tooHigh, Double.NaN, Double.NEGATIVE_INFINITY, Double.MAX_VALUE * 2
        }) {
      assertThatThrownBy(() -> constructor.apply(bad))
          .isInstanceOf(IllegalArgumentException.class)
          .hasMessageStartingWith(rule)
          .hasMessageEndingWith(", was " + bad);
    }
  }

  @ParameterizedTest
  @CsvSource({"NaN", "Infinity", "-Infinity"})
  void constructor_notFinite_messageSaysRuleAndActual(double bad) {
    assertThatThrownBy(() -> new Ev(bad))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("stops must be a finite number, was " + bad);
    assertThatThrownBy(() -> new Mired(bad))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("mired must be a finite number, was " + bad);
  }

  @Test
  void constructor_negativeZero_equalsZero() {
    assertThat(new Ev(-0.0)).isEqualTo(Ev.ZERO);
    assertThat(new Mired(-0.0)).isEqualTo(Mired.ZERO);
    assertThat(new Duv(-0.0)).isEqualTo(Duv.ZERO);
    assertThat(Ev.ZERO.negated()).isEqualTo(Ev.ZERO);
  }

  /** Reciprocal temperature: colour-science/colour; the shifts computed. */
  @ParameterizedTest
  @CsvSource({
    "3200, 312.5",
    "6500, 153.846",
    "15000, 66.667",
    "2856, 350.140",
    "5500, 181.818",
    "5700, 175.439",
    "5000, 200"
  })
  void toMired_published(double kelvin, double mired) {
    assertThat(new Kelvin(kelvin).toMired().value()).isCloseTo(mired, within(5e-4));
  }

  /** Conversion filters, tungsten to daylight; nominal figures: pointsinfocus.com. */
  @ParameterizedTest
  @CsvSource({"3200, 5500, -131", "3200, 5700, -137", "3400, 5500, -112", "5500, 3400, 112"})
  void minus_filterShift(double from, double to, double shift) {
    assertThat(new Kelvin(to).toMired().minus(new Kelvin(from).toMired()).value())
        .isCloseTo(shift, within(0.5));
  }

  @Test
  void toKelvin_noTemperature_refused() {
    for (double bad : new double[] {0, -130, 0.5, 2001}) {
      assertThatThrownBy(() -> new Mired(bad).toKelvin())
          .isInstanceOf(IllegalArgumentException.class)
          .hasMessage("absolute mired must lie within 1.0 and 2000.0, was " + bad);
    }
  }

  @Property
  void toMired_andBack(@ForAll @Scale(3) @DoubleRange(min = 500, max = 1_000_000) double kelvin) {
    double back = new Kelvin(kelvin).toMired().toKelvin().value();
    assertThat(back).isCloseTo(kelvin, within(kelvin * 1e-12));
  }

  @Test
  void toMired_atTheEnds_comesBack() {
    assertThat(new Kelvin(Kelvin.MIN).toMired().toKelvin()).isEqualTo(new Kelvin(Kelvin.MIN));
    assertThat(new Kelvin(Kelvin.MAX).toMired().toKelvin()).isEqualTo(new Kelvin(Kelvin.MAX));
  }

  @Property
  void ev_arithmetic(
      @ForAll @Scale(4) @DoubleRange(min = -50, max = 50) double a,
      @ForAll @Scale(4) @DoubleRange(min = -50, max = 50) double b) {
    Ev one = new Ev(a);
    Ev other = new Ev(b);
    assertThat(one.plus(other)).isEqualTo(other.plus(one));
    assertThat(one.minus(other)).isEqualTo(other.minus(one).negated());
    assertThat(one.minus(one)).isEqualTo(Ev.ZERO);
    assertThat(one.compareTo(other)).isEqualTo(-other.compareTo(one));
  }

  @Property
  void mired_arithmetic(
      @ForAll @Scale(4) @DoubleRange(min = -500, max = 500) double a,
      @ForAll @Scale(4) @DoubleRange(min = -500, max = 500) double b) {
    Mired one = new Mired(a);
    Mired other = new Mired(b);
    assertThat(one.plus(other).minus(other).value()).isCloseTo(a, within(1e-9));
    assertThat(one.minus(one)).isEqualTo(Mired.ZERO);
    assertThat(one.compareTo(other)).isEqualTo(Double.compare(a, b));
  }

  @Test
  void compareTo_ordersByValue() {
    assertThat(new Kelvin(3200)).isLessThan(new Kelvin(5500));
    assertThat(new Duv(-0.001)).isLessThan(Duv.ZERO);
  }

  /** Exif 2.2, Annex C: Av = 2 log2 N, Tv = -log2 t; ISO relative to 100. */
  @Test
  void apexValues_powersOfTwo() {
    assertThat(new FNumber(16).av()).isCloseTo(8, within(1e-12));
    assertThat(new ExposureTime(1 / 128.0).tv()).isCloseTo(7, within(1e-12));
    assertThat(new Iso(6400).stopsAbove100()).isCloseTo(6, within(1e-12));
    assertThat(new Iso(50).stopsAbove100()).isCloseTo(-1, within(1e-12));
  }
}
