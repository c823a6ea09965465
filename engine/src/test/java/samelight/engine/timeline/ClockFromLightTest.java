package samelight.engine.timeline;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;

class ClockFromLightTest {
  /**
   * A day of twelve rooms and yards, with rests between; both bodies see it, with other content.
   */
  private static List<ClockFromLight.Moment> body(long day, long content, double ahead) {
    Random places = new Random(day);
    Random random = new Random(content);
    List<ClockFromLight.Moment> out = new ArrayList<>();
    double t = 0;
    for (int scene = 0; scene < 12; scene++) {
      double light = 4 + 10 * places.nextDouble();
      double mired = 150 + 200 * places.nextDouble();
      double end = t + 200 + 900 * places.nextDouble();
      double rest = 60 + 400 * places.nextDouble();
      for (double at = t + 20 * random.nextDouble();
          at < end;
          at += 10 + 30 * random.nextDouble()) {
        out.add(
            new ClockFromLight.Moment(
                at + ahead,
                light + 0.4 * random.nextGaussian(),
                mired + 12 * random.nextGaussian(),
                false));
      }
      t = end + rest;
    }
    return out;
  }

  @Property(tries = 25)
  void align_bodiesOfOneDay_findsTheOffsetWithinItsStatedError(
      @ForAll @IntRange(min = 0, max = 1000) int day,
      @ForAll @IntRange(min = -9000, max = 9000) int ahead) {
    List<ClockFromLight.Moment> first = body(day, day + 1L, 0);
    List<ClockFromLight.Moment> second = body(day, day + 2L, ahead);
    ClockFromLight.Offset found = ClockFromLight.align(first, second);
    if (found != null) {
      assertThat(found.seconds()).isCloseTo(-ahead, within(4 * Math.max(15, found.sigma())));
    }
    Collections.shuffle(second, new Random(day));
    assertThat(ClockFromLight.align(first, second)).isEqualTo(found);
  }

  @Test
  void align_mostDays_findsAnOffset() {
    int found = 0;
    for (int day = 0; day < 20; day++) {
      found +=
          ClockFromLight.align(body(day, 500 + day, 0), body(day, 900 + day, 247)) != null ? 1 : 0;
    }
    assertThat(found).isGreaterThan(14);
  }

  @Test
  void align_bodiesOfOtherDays_isNotGuessed() {
    int guessed = 0;
    for (int day = 0; day < 20; day++) {
      guessed += ClockFromLight.align(body(day, 1, 0), body(day + 100, 2, 247)) != null ? 1 : 0;
    }
    assertThat(guessed).isLessThan(3);
  }

  @Test
  void align_oneRoomAllDay_isNotGuessed() {
    List<ClockFromLight.Moment> a = new ArrayList<>();
    List<ClockFromLight.Moment> b = new ArrayList<>();
    Random random = new Random(4);
    for (int i = 0; i < 400; i++) {
      a.add(new ClockFromLight.Moment(i * 20, 6 + 0.4 * random.nextGaussian(), 300, false));
      b.add(new ClockFromLight.Moment(i * 20 + 5, 6 + 0.4 * random.nextGaussian(), 300, false));
    }
    assertThat(ClockFromLight.align(a, b)).isNull();
  }

  @Test
  void align_tooFewMoments_isNotGuessed() {
    assertThat(ClockFromLight.align(body(1, 2, 0), body(1, 3, 0).subList(0, 8))).isNull();
  }
}
