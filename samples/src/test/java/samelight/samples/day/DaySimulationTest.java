package samelight.samples.day;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import samelight.samples.light.Light;

class DaySimulationTest {

  private static List<Shot> day(long seed, int frames, Set<Trouble> troubles) {
    return new DaySimulation(seed, 3, troubles, true, false).shots(0, frames);
  }

  @Property(tries = 20)
  void shots_asManyAsAskedInOrderOfTime(
      @ForAll @IntRange(min = 1, max = 160) int frames, @ForAll int seed) {
    List<Shot> shots = day(seed, frames, Set.of());
    assertThat(shots).hasSize(frames);
    assertThat(shots).isSortedAccordingTo((a, b) -> Double.compare(a.seconds(), b.seconds()));
  }

  @Property(tries = 10)
  void shots_gainIsLightOverSettings(@ForAll int seed) {
    for (Shot s : day(seed, 120, EnumSet.allOf(Trouble.class))) {
      double filter = s.troubles().contains(Trouble.FILTER) ? 3 : 0;
      double reach = s.body().sensitivityStops() - s.lens().lossStops() - filter;
      assertThat(s.gain())
          .isCloseTo(s.subject().ev100() - s.exposure().ev100() + reach, within(1e-9));
      assertThat(s.flashed()).isEqualTo(s.view().endsWith("/flash"));
      if (s.flashed()) {
        assertThat(s.fired()).isTrue();
        assertThat(s.subject().ev100()).isGreaterThan(s.ambientEv());
      }
    }
  }

  @Property(tries = 10)
  void shots_sameViewSameMomentSameLight(@ForAll int seed) {
    // Both bodies see one sky: their lights differ only by what passed between two frames.
    List<Shot> walk =
        day(seed, 240, Set.of()).stream().filter(s -> s.act().equals("lime-walk")).toList();
    assertThat(walk.stream().map(s -> s.body().id()).collect(Collectors.toSet()))
        .containsExactlyInAnyOrder("A", "B");
    for (int i = 1; i < walk.size(); i++) {
      if (walk.get(i).seconds() - walk.get(i - 1).seconds() < 0.1) {
        assertThat(walk.get(i).ambientEv()).isCloseTo(walk.get(i - 1).ambientEv(), within(0.15));
      }
    }
  }

  @Test
  void shots_everyTroubleHappensWhenAskedAndNoneOtherwise() {
    Set<Trouble> seen = EnumSet.noneOf(Trouble.class);
    day(4, 600, EnumSet.allOf(Trouble.class)).forEach(s -> seen.addAll(s.troubles()));
    assertThat(seen).containsExactlyInAnyOrder(Trouble.values());
    assertThat(day(4, 600, Set.of())).allMatch(s -> s.troubles().isEmpty());
    for (Trouble t : Trouble.values()) {
      assertThat(day(4, 600, Set.of(t)))
          .allMatch(s -> s.troubles().isEmpty() || s.troubles().equals(Set.of(t)));
    }
  }

  @Test
  void shots_dayHoldsItsEverydayLight() {
    List<Shot> shots = day(2, 1000, Set.of());
    assertThat(span(shots, "lake/lake/ambient")).as("a sun goes down").isGreaterThan(1.5);
    assertThat(span(shots, "lime-walk/lime-walk/ambient")).as("clouds pass").isGreaterThan(0.5);
    assertThat(span(shots, "getting-ready/loft-lamp/ambient")).as("lamps stay").isLessThan(0.05);
    assertThat(shots).as("a unit had not recycled").anyMatch(s -> s.fired() && !s.flashed());
    assertThat(shots).as("two rooms at once").anyMatch(s -> s.view().contains("boathouse"));
    assertThat(shots).as("preset white balance").anyMatch(s -> s.preset() != null);
    assertThat(shots).as("portrait").anyMatch(s -> s.orientation() != 1);
    assertThat(shots).as("half-stop dials").anyMatch(s -> s.exposure().tv() % 2 != 0);
  }

  private static double span(List<Shot> shots, String view) {
    var ev = shots.stream().filter(s -> s.view().equals(view)).mapToDouble(Shot::ambientEv);
    var stats = ev.summaryStatistics();
    assertThat(stats.getCount()).as(view).isPositive();
    return stats.getMax() - stats.getMin();
  }

  @Test
  void course_cloudsAreDaylightOfBothKinds() {
    Course c = Course.clouds(13, 5200, 6600, 600, new java.util.Random(8));
    double least = 20;
    double most = 0;
    for (int t = 0; t < 600; t++) {
      Light l = c.at(t);
      least = Math.min(least, l.ev100());
      most = Math.max(most, l.ev100());
      assertThat(l.kelvin()).isBetween(5100.0, 6700.0);
    }
    assertThat(most).isCloseTo(13, within(0.06));
    assertThat(least).isLessThan(12.6);
  }
}
