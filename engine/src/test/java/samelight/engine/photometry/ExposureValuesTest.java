package samelight.engine.photometry;

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
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.ExposureTime;
import samelight.engine.quantity.FNumber;
import samelight.engine.quantity.Iso;
import samelight.engine.quantity.Luminance;

class ExposureValuesTest {
  /** How far a rounded mark may lie from the whole value that Annex C gives it. */
  private static final double MARK = 0.1;

  /** Exif 2.2 (JEITA CP-3451), Annex C, Table 48: f-number and Av. */
  @ParameterizedTest
  @CsvSource({
    "1, 0", "1.4, 1", "2, 2", "2.8, 3", "4, 4", "5.6, 5", "8, 6", "11, 7", "16, 8", "22, 9",
    "32, 10"
  })
  void av_annexC(double fNumber, double av) {
    assertThat(new FNumber(fNumber).av()).isCloseTo(av, within(MARK));
  }

  /** Exif 2.2, Annex C, Table 48: exposure time in seconds (here 1/t from one second on) and Tv. */
  @ParameterizedTest
  @CsvSource({
    "30, -5",
    "15, -4",
    "8, -3",
    "4, -2",
    "2, -1",
    "1, 0",
    ".5, 1",
    ".25, 2",
    ".125, 3",
    ".0666667, 4",
    ".0333333, 5",
    ".0166667, 6",
    ".008, 7",
    ".004, 8",
    ".002, 9",
    ".001, 10",
    ".0005, 11"
  })
  void tv_annexC(double seconds, double tv) {
    assertThat(new ExposureTime(seconds).tv()).isCloseTo(tv, within(MARK));
  }

  /** Exif 2.2, Annex C, Table 48: foot-lamberts and Bv; 15 and 30 are rounded marks. */
  @ParameterizedTest
  @CsvSource({".25, -2", ".5, -1", "1, 0", "2, 1", "4, 2", "8, 3", "15, 4", "30, 5"})
  void luminanceOfBrightnessValue_annexC(double footLamberts, double bv) {
    double candelas =
        ExposureValues.luminanceOfBrightnessValue(new Ev(bv)).candelasPerSquareMetre();
    assertThat(candelas / 3.42626).isCloseTo(footLamberts, within(footLamberts * 0.07));
  }

  /** One foot-lambert is 3.42626 cd/m2: from its definition, 1/pi candela per square foot. */
  @Test
  void footLambert_inCandelas() {
    assertThat(ExposureValues.FOOT_LAMBERT).isCloseTo(3.4262590996, within(1e-9));
  }

  /** Exif 2.2, Annex C: Sv of ISO 100 is 5, and Ev = Bv + Sv. */
  @Test
  void brightnessValue_isEvLessSv() {
    assertThat(ExposureValues.brightnessValue(new Ev(12))).isEqualTo(new Ev(7));
  }

  /** Computed: Bv 0 + Sv 5 implies K = 10.71, 0.22 stop below K = 12.5. */
  @Test
  void luminanceOfBrightnessValue_liesBelowLuminanceOfSameSettings() {
    Ev ev = new Ev(9);
    double byBv =
        ExposureValues.luminanceOfBrightnessValue(ExposureValues.brightnessValue(ev))
            .candelasPerSquareMetre();
    double byEv = ExposureValues.luminance(ev).candelasPerSquareMetre();
    assertThat(Math.log(byEv / byBv) / Math.log(2)).isCloseTo(0.22, within(0.005));
    assertThat(ExposureValues.K * byBv / byEv).isCloseTo(10.707, within(5e-4));
  }

  /** EV100, cd/m2 and lux at K 12.5, C 250: e-com-net.com/article/1275207877182636032.htm. */
  @ParameterizedTest
  @CsvSource({"-4, .008, .156", "0, .125, 2.5", "5, 4, 80", "12, 512, 10240", "15, 4096, 81920"})
  void luminance_table(double ev, double candelas, double lux) {
    assertThat(ExposureValues.luminance(new Ev(ev)).candelasPerSquareMetre())
        .isCloseTo(candelas, within(5e-4));
    assertThat(ExposureValues.illuminance(new Ev(ev)).lux()).isCloseTo(lux, within(5e-4));
  }

  /** colour-science/colour-hdri, exposure/tests (BSD). */
  @ParameterizedTest
  @CsvSource({
    "8, 250, 100, 13.96578428",
    "5.6, 500, 800, 10.93663794",
    "2.8, 1000, 1600, 8.93663794"
  })
  void ev100_reference(double fNumber, double perSecond, double iso, double ev) {
    assertThat(
            ExposureValues.ev100(
                    new FNumber(fNumber), new ExposureTime(1 / perSecond), new Iso(iso))
                .stops())
        .isCloseTo(ev, within(5e-9));
  }

  /** colour-science/colour-hdri, exposure/tests: L(2.8, 1/8 s, 100) = 7.84 at K 12.5. */
  @Test
  void luminance_reference() {
    Ev ev = ExposureValues.ev100(new FNumber(2.8), new ExposureTime(1 / 8.0), new Iso(100));
    assertThat(ExposureValues.luminance(ev).candelasPerSquareMetre()).isCloseTo(7.84, within(1e-9));
  }

  /** colour-science/colour-hdri, exposure/tests: EV of 0.125 cd/m2 at K 14. */
  @Test
  void ev100_otherMeterConstant() {
    assertThat(ExposureValues.ev100(new Luminance(0.125), 14).stops())
        .isCloseTo(-0.16349873, within(5e-9));
  }

  @ParameterizedTest
  @ValueSource(doubles = {0, -12.5, Double.NaN, Double.POSITIVE_INFINITY, 0.5, 101})
  void luminance_constantOutOfRange_refused(double k) {
    assertThatThrownBy(() -> ExposureValues.luminance(Ev.ZERO, k))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("K must lie within 1 and 100")
        .hasMessageEndingWith("was " + k);
  }

  @Test
  void luminance_beyondNumbers_refused() {
    assertThatThrownBy(() -> ExposureValues.luminance(new Ev(2000)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("Infinity");
  }

  @Property
  void luminance_andBack(@ForAll @Scale(9) @DoubleRange(min = -20, max = 25) double ev) {
    assertThat(ExposureValues.ev100(ExposureValues.luminance(new Ev(ev))).stops())
        .isCloseTo(ev, within(1e-9));
  }

  @Property
  void ev100_halvedTimeIsOneStopMore(
      @ForAll @Scale(9) @DoubleRange(min = 1e-4, max = 60) double seconds,
      @ForAll @Scale(9) @DoubleRange(min = 1, max = 32) double f,
      @ForAll @Scale(9) @DoubleRange(min = 50, max = 102400) double iso) {
    Ev ev = ExposureValues.ev100(new FNumber(f), new ExposureTime(seconds), new Iso(iso));
    Ev half = ExposureValues.ev100(new FNumber(f), new ExposureTime(seconds / 2), new Iso(iso));
    Ev twice = ExposureValues.ev100(new FNumber(f), new ExposureTime(seconds), new Iso(iso * 2));
    assertThat(half.minus(ev).stops()).isCloseTo(1, within(1e-9));
    assertThat(twice.minus(ev).stops()).isCloseTo(-1, within(1e-9));
  }
}
