package samelight.engine.photometry;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Scale;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.quantity.ExposureTime;
import samelight.engine.quantity.FNumber;
import samelight.engine.quantity.Iso;

class ExposureStepsTest {
  private static final double EXACT = 1e-12;

  private static final ExposureSteps THIRDS =
      ExposureSteps.of(
          List.of(frame(3.2, "1/80", 125), frame(1.8, "1/100", 160), frame(9, "1/640", 500)));

  private static final ExposureSteps HALVES =
      ExposureSteps.of(
          List.of(frame(3.3, "1/45", 100), frame(6.7, "1/90", 140), frame(9.5, "1/180", 280)));

  /** Times as a camera marks them: "1/125", "0.3", "15". */
  private static double seconds(String mark) {
    int slash = mark.indexOf('/');
    return slash < 0
        ? Double.parseDouble(mark)
        : Double.parseDouble(mark.substring(0, slash))
            / Double.parseDouble(mark.substring(slash + 1));
  }

  private static CaptureSettings frame(double f, String time, double iso) {
    return new CaptureSettings(
        new ExposureTime(seconds(time)), new FNumber(f), new Iso(iso), null, 0, -1, 0);
  }

  private static double av(ExposureSteps steps, double f) {
    return requireNonNull(steps.exact(frame(f, "1", 100)).fNumber()).av();
  }

  private static double tv(ExposureSteps steps, String time) {
    return requireNonNull(steps.exact(frame(1, time, 100)).exposureTime()).tv();
  }

  private static double iso(ExposureSteps steps, double iso) {
    return requireNonNull(steps.exact(frame(1, "1", iso)).iso()).value();
  }

  /**
   * Errors in stops of marks against exact steps, after scantips.com/lights/fstop2.html; the
   * differences to five digits were computed apart from this code.
   */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          1.1 | -.0583
          1.2 | -.1406
          1.4 | -.0291
          1.6 |  .0228
          1.8 |  .0293
          2.2 | -.0583
          2.5 | -.0228
          2.8 | -.0291
          3.2 |  .0228
          3.5 | -.0520
          4   |  .0000
          4.5 |  .0065
          5   | -.0228
          5.6 | -.0291
          6.3 | -.0226
          7.1 | -.0110
          9   |  .0065
          11  | -.0811
          13  |  .0675
          14  | -.0520
          18  |  .0065
          20  | -.0228
          22  | -.0811
          25  | -.0456
          29  |  .0493
          32  |  .0000
          """)
  void exact_thirdStopAperture_removesTheMarksError(double mark, double error) {
    assertThat(new FNumber(mark).av() - av(THIRDS, mark)).isCloseTo(error, within(5.1e-5));
    assertThat(av(THIRDS, mark) * 3).isCloseTo(Math.rint(av(THIRDS, mark) * 3), within(EXACT));
  }

  /** Exact times and errors in stops: same source as the apertures. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          30     | 32.0000 | -.0931
          25     | 25.3984 | -.0228
          15     | 16.0000 | -.0931
          13     | 12.6992 |  .0338
          10     | 10.0794 | -.0114
          6      | 6.3496  | -.0817
          3.2    | 3.1748  |  .0114
          1.3    | 1.2599  |  .0452
          0.8    | .793701 |  .0114
          0.6    | .629961 | -.0703
          0.3    | .314980 | -.0703
          1/6    | .157490 |  .0817
          1/10   | .099213 |  .0114
          1/13   | .078745 | -.0338
          1/15   | .062500 |  .0931
          1/20   | .049606 |  .0114
          1/30   | .031250 |  .0931
          1/60   | .015625 |  .0931
          1/80   | .012402 |  .0114
          1/100  | .009843 |  .0228
          1/125  | .0078125 | .0342
          1/250  | .00390625 | .0342
          1/1250 | .000775098 | .0456
          1/2500 | .000387549 | .0456
          1/8000 | .00012207 | .0342
          """)
  void exact_thirdStopTime_removesTheMarksError(String mark, double exact, double error) {
    double tv = tv(THIRDS, mark);
    assertThat(Math.pow(2, -tv)).isCloseTo(exact, within(exact * 1e-4));
    assertThat(tv - new ExposureTime(seconds(mark)).tv()).isCloseTo(error, within(5.1e-5));
  }

  /** Exact sensitivities, computed as 100 x 2^(n/3); 12500 is an older mark of 12800. */
  @ParameterizedTest
  @CsvSource({
    "50, 50",
    "64, 63.00",
    "80, 79.37",
    "125, 125.99",
    "160, 158.74",
    "250, 251.98",
    "640, 634.96",
    "1000, 1007.94",
    "1250, 1269.92",
    "2500, 2539.84",
    "5000, 5079.68",
    "10000, 10159.37",
    "12500, 12800",
    "20000, 20318.73",
    "80000, 81274.93",
    "102400, 102400"
  })
  void exact_thirdStopSensitivity_isPowerOfTwo(double mark, double exact) {
    assertThat(iso(THIRDS, mark)).isCloseTo(exact, within(0.005));
  }

  /** Ambiguous marks: f/4.5 is 4.490 or 4.757, f/3.5 3.564 or 3.364, and so on (computed). */
  @ParameterizedTest
  @CsvSource({"4.5, 4.490, 4.757", "3.5, 3.564, 3.364", "2.5, 2.520, 2.378", "13, 12.70, 13.45"})
  void exact_ambiguousAperture_followsTheBodysOtherMarks(double mark, double third, double half) {
    assertThat(Math.pow(2, av(THIRDS, mark) / 2)).isCloseTo(third, within(0.006));
    assertThat(Math.pow(2, av(HALVES, mark) / 2)).isCloseTo(half, within(0.006));
  }

  @Test
  void exact_ambiguousTime_followsTheBodysOtherMarks() {
    assertThat(tv(THIRDS, "1/10")).isCloseTo(10 / 3.0, within(EXACT));
    assertThat(tv(HALVES, "1/10")).isCloseTo(3.5, within(EXACT));
    assertThat(tv(THIRDS, "1/20")).isCloseTo(13 / 3.0, within(EXACT));
    assertThat(tv(HALVES, "1/20")).isCloseTo(4.5, within(EXACT));
  }

  @Test
  void exact_onlyAmbiguousAperture_decidedByTime() {
    ExposureSteps half =
        ExposureSteps.of(
            List.of(frame(4.5, "1/45", 100), frame(2.5, "1/90", 100), frame(4, "1/60", 100)));
    assertThat(half.aperture()).isEqualTo(StepSet.HALF);
    assertThat(av(half, 4.5)).isCloseTo(4.5, within(EXACT));
    ExposureSteps undecided = ExposureSteps.of(List.of(frame(4.5, "1/60", 100)));
    assertThat(av(undecided, 4.5)).isCloseTo(13 / 3.0, within(EXACT));
  }

  @Test
  void exact_lensWideOpenOnHalfStopBody_staysAsRead() {
    ExposureSteps steps =
        ExposureSteps.of(
            List.of(frame(1.8, "1/45", 100), frame(4.8, "1/90", 100), frame(4.5, "1/180", 100)));
    assertThat(steps.aperture()).isEqualTo(StepSet.HALF);
    assertThat(steps.exact(frame(1.8, "1/45", 100)).fNumber()).isEqualTo(new FNumber(1.8));
  }

  /** f/4.2 and f/5.3 are what a zoom opens to between its ends; ISO goes in sixths. */
  @Test
  void of_zoomAndSixthStopSensitivity_keepsOffStepValues() {
    List<CaptureSettings> all = new ArrayList<>();
    for (double iso : new double[] {400, 450, 560, 640, 720, 800, 1000, 1400, 2200, 2800, 3600}) {
      all.add(frame(3.5, "1/250", iso));
      all.add(frame(5.6, "1/160", iso));
    }
    all.add(frame(4.2, "1/200", 400));
    all.add(frame(5.3, "1/125", 400));
    ExposureSteps steps = ExposureSteps.of(all);
    assertThat(steps.describe())
        .isEqualTo("aperture third stops, time third stops, ISO sixth stops");
    assertThat(steps.exact(frame(4.2, "1/200", 400)).fNumber()).isEqualTo(new FNumber(4.2));
    assertThat(iso(steps, 560)).isCloseTo(100 * Math.pow(2, 2.5), within(1e-9));
    assertThat(iso(steps, 720)).isCloseTo(100 * Math.pow(2, 17 / 6.0), within(1e-9));
  }

  @Test
  void of_electronicShutter_staysAsRead() {
    List<CaptureSettings> all = new ArrayList<>();
    for (int i = 53; i < 400; i += 7) {
      all.add(frame(1.6, "1/" + i, 50 + i));
    }
    ExposureSteps steps = ExposureSteps.of(all);
    assertThat(steps.time()).isEqualTo(StepSet.NONE);
    assertThat(steps.iso()).isEqualTo(StepSet.NONE);
    assertThat(steps.exact(frame(1.6, "1/60", 64)).exposureTime())
        .isEqualTo(new ExposureTime(1 / 60.0));
    assertThat(steps.describe()).isEqualTo("aperture third stops, time as read, ISO as read");
  }

  @ParameterizedTest
  @ValueSource(doubles = {65535, 99, 12345, 3, 5e6})
  void exact_sensitivityOffAnyStep_staysAsRead(double iso) {
    assertThat(iso(THIRDS, iso)).isEqualTo(iso);
  }

  @ParameterizedTest
  @ValueSource(strings = {"1/59.5", "37", "3000", "1/200000", "0.0000015"})
  void exact_timeOffAnyStep_staysAsRead(String time) {
    assertThat(THIRDS.exact(frame(1, time, 100)).exposureTime())
        .isEqualTo(new ExposureTime(seconds(time)));
  }

  @Test
  void exact_cameraWritesExactValues_keepsThem() {
    assertThat(tv(THIRDS, "1/128")).isCloseTo(7, within(EXACT));
    assertThat(tv(THIRDS, "1/64")).isCloseTo(6, within(EXACT));
    assertThat(av(THIRDS, 5.657)).isCloseTo(5, within(EXACT));
    assertThat(iso(THIRDS, 1270)).isCloseTo(1269.92, within(0.01));
  }

  @Test
  void exact_marksAreFixedPoints() {
    for (String time : List.of("1/125", "1/15", "6", "0.3")) {
      double once = tv(THIRDS, time);
      assertThat(tv(THIRDS, Double.toString(Math.pow(2, -once)))).isCloseTo(once, within(EXACT));
    }
  }

  /** Computed apart from this code: marked 10.9658, exact 11. */
  @Test
  void exact_ev100_isOfExactSettings() {
    ExactSettings exact = THIRDS.exact(frame(8, "1/125", 400));
    assertThat(requireNonNull(exact.ev100()).stops()).isCloseTo(11, within(EXACT));
    double marked =
        ExposureValues.ev100(new FNumber(8), new ExposureTime(1 / 125.0), new Iso(400)).stops();
    assertThat(marked).isCloseTo(10.965784284662087, within(EXACT));
  }

  /** The marks' errors add up to 0.197 stop in one frame (computed apart from this code). */
  @Test
  void exact_ev100_removesStackedErrors() {
    CaptureSettings marked = frame(11, "1/60", 64);
    double exact = requireNonNull(THIRDS.exact(marked).ev100()).stops();
    double asMarked =
        ExposureValues.ev100(new FNumber(11), new ExposureTime(1 / 60.0), new Iso(64)).stops();
    assertThat(exact - asMarked).isCloseTo(0.197, within(5e-4));
  }

  @Test
  void exact_unknownValue_staysUnknown() {
    ExactSettings exact =
        THIRDS.exact(new CaptureSettings(new ExposureTime(1 / 125.0), null, null, null, 0, -1, 0));
    assertThat(exact.fNumber()).isNull();
    assertThat(exact.iso()).isNull();
    assertThat(exact.ev100()).isNull();
    assertThat(exact.exposureTime()).isEqualTo(new ExposureTime(1 / 128.0));
    assertThat(exact.step()).isEqualTo("third stops");
  }

  @Test
  void describe_nothingKnown_isUnknown() {
    assertThat(ExposureSteps.of(List.of()).describe()).isEqualTo("unknown");
    assertThat(ExposureSteps.of(List.of(CaptureSettings.UNKNOWN)).describe()).isEqualTo("unknown");
  }

  @Test
  void describe_wholeStopsOnly_saysSo() {
    ExposureSteps steps =
        ExposureSteps.of(List.of(frame(5.6, "1/125", 100), frame(11, "1/30", 1600)));
    assertThat(steps.describe()).isEqualTo("full stops");
    assertThat(av(steps, 11)).isCloseTo(7, within(EXACT));
  }

  @Test
  void describe_wholeStopsOfOneSetting_agreeWithThirdsOfAnother() {
    assertThat(
            ExposureSteps.of(List.of(frame(5.6, "1/80", 100), frame(5.6, "1/200", 100))).describe())
        .isEqualTo("third stops");
  }

  @Test
  void of_orderOfFrames_doesNotMatter() {
    List<CaptureSettings> all = new ArrayList<>();
    Random random = new Random(7);
    String[] times = {"1/45", "1/60", "1/90", "1/80", "1/10", "1/123"};
    double[] apertures = {1.8, 2.4, 4.5, 4.8, 5.6};
    for (int i = 0; i < 40; i++) {
      all.add(
          frame(
              apertures[random.nextInt(apertures.length)],
              times[random.nextInt(times.length)],
              100 + 10 * random.nextInt(9)));
    }
    ExposureSteps one = ExposureSteps.of(all);
    Collections.shuffle(all, random);
    ExposureSteps other = ExposureSteps.of(all);
    assertThat(other.describe()).isEqualTo(one.describe());
    assertThat(all).allSatisfy(s -> assertThat(other.exact(s)).isEqualTo(one.exact(s)));
  }

  /** No mark of any set lies farther from its exact step than f/4.5, 1/10 or 1/20 in halves. */
  @Property
  void exact_anySettings_stayNearTheirMarks(
      @ForAll @Size(min = 1, max = 12)
          List<@Scale(1) @DoubleRange(min = 0.7, max = 64) Double> apertures,
      @ForAll @Size(min = 1, max = 12) List<@IntRange(min = 1, max = 9000) Integer> speeds,
      @ForAll @Size(min = 1, max = 12) List<@IntRange(min = 25, max = 70000) Integer> isos) {
    List<CaptureSettings> all = new ArrayList<>();
    for (int i = 0; i < 12; i++) {
      all.add(
          frame(
              apertures.get(i % apertures.size()),
              "1/" + speeds.get(i % speeds.size()),
              isos.get(i % isos.size())));
    }
    ExposureSteps steps = ExposureSteps.of(all);
    for (CaptureSettings marked : all) {
      ExactSettings exact = steps.exact(marked);
      assertThat(requireNonNull(exact.fNumber()).av())
          .isCloseTo(requireNonNull(marked.fNumber()).av(), within(0.19));
      assertThat(requireNonNull(exact.exposureTime()).tv())
          .isCloseTo(requireNonNull(marked.exposureTime()).tv(), within(0.19));
      assertThat(requireNonNull(exact.iso()).stopsAbove100())
          .isCloseTo(requireNonNull(marked.iso()).stopsAbove100(), within(0.06));
    }
  }
}
