package samelight.engine.lighting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;

class LightCourseTest {
  /**
   * Clouds played: times between changes are exponential; of the days on which the light changed on
   * either side of a moment, every fourth has it back.
   */
  @Property(tries = 8)
  void stays_isTheShareOfPlayedDaysThatLookSteadyAndAre(
      @ForAll @DoubleRange(min = 0.01, max = 0.2) double perTen,
      @ForAll @DoubleRange(min = 5, max = 120) double first,
      @ForAll @DoubleRange(min = 5, max = 120) double second,
      @ForAll @IntRange(min = 0, max = 1000) int seed) {
    double rate = perTen / 10;
    Random random = new Random(seed);
    int steady = 0;
    int looks = 0;
    for (int day = 0; day < 200_000; day++) {
      boolean before = -Math.log(1 - random.nextDouble()) / rate < first;
      boolean after = -Math.log(1 - random.nextDouble()) / rate < second;
      boolean back = before && after && random.nextInt(4) == 0;
      steady += before || after ? 0 : 1;
      looks += back || !(before || after) ? 1 : 0;
    }
    if (looks > 2000) {
      assertThat(LightCourse.stays(rate, first, second))
          .isCloseTo((double) steady / looks, within(0.04));
    }
  }

  @Property
  void stays_longerPauses_areNeverSurer(
      @ForAll @DoubleRange(min = 0, max = 0.05) double rate,
      @ForAll @DoubleRange(min = 0, max = 1000) double first,
      @ForAll @DoubleRange(min = 0, max = 1000) double second) {
    double p = LightCourse.stays(rate, first, second);
    assertThat(p).isBetween(0.0, 1.0);
    assertThat(LightCourse.stays(rate, first + 1, second)).isLessThanOrEqualTo(p + 1e-12);
    assertThat(LightCourse.stays(rate, second, first)).isCloseTo(p, within(1e-9));
  }

  @Test
  void line_betweenTwo_isStraight_besideOne_isLevel() {
    double[] light = {1, 3};
    assertThat(new LightCourse.Known(0, 1, 0.25, 0, 1).line(k -> light[k])).isEqualTo(1.5);
    assertThat(new LightCourse.Known(-1, 1, 0.25, 0, 1).line(k -> light[k])).isEqualTo(3);
    assertThat(new LightCourse.Known(0, -1, 0.25, 0, 1).line(k -> light[k])).isEqualTo(1);
  }
}
