package samelight.engine.pace;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.DayOfWeek;
import java.time.Duration;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import org.junit.jupiter.api.Test;

class PlannerTest {
  private static final LocalDate MONDAY = LocalDate.of(2027, 6, 14);

  @Provide
  Arbitrary<PaceRequest> requests() {
    Arbitrary<List<Integer>> times = Arbitraries.integers().between(1, 4000).list().ofMaxSize(40);
    Arbitrary<List<Integer>> sizes = Arbitraries.integers().between(1, 8).list().ofSize(40);
    Arbitrary<Set<DayOfWeek>> on = Arbitraries.of(DayOfWeek.class).set().ofMinSize(1);
    Arbitrary<Set<Integer>> off = Arbitraries.integers().between(0, 40).set().ofMaxSize(10);
    return Combinators.combine(
            times,
            sizes,
            on,
            off,
            Arbitraries.integers().between(-3, 40),
            Arbitraries.integers().between(1, 90),
            Arbitraries.integers().between(0, 7))
        .as(
            (t, s, weekdays, free, due, minutes, done) -> {
              TreeSet<LocalDate> days = new TreeSet<>();
              free.forEach(d -> days.add(MONDAY.plusDays(d)));
              return new PaceRequest(
                  items(t, s),
                  MONDAY,
                  MONDAY.plusDays(due),
                  Duration.ofMinutes(minutes),
                  new Days(weekdays, days),
                  done);
            });
  }

  private static List<Item> items(List<Integer> seconds, List<Integer> sizes) {
    List<Item> items = new ArrayList<>();
    int group = 0;
    int left = sizes.get(0);
    for (int i = 0; i < seconds.size(); i++) {
      if (left == 0) {
        group++;
        left = sizes.get(group);
      }
      left--;
      items.add(
          new Item(
              List.of(Task.REFERENCE, Task.EYES, Task.LOOK).get(i % 3),
              "s" + group / 3,
              "g" + group,
              List.of("A/" + i + ".DNG"),
              Duration.ofSeconds(seconds.get(i))));
    }
    return items;
  }

  @Property(tries = 600)
  void plan_anything_holdsWhatItPromises(@ForAll("requests") PaceRequest r) {
    PacePlan plan = Planner.plan(r);

    List<Item> planned = new ArrayList<>();
    plan.sittings().forEach(s -> planned.addAll(s.items()));
    assertThat(planned).as("nothing twice, nothing left out, in order").isEqualTo(r.items());
    LocalDate last = r.from().minusDays(1);
    int number = r.done();
    for (Sitting s : plan.sittings()) {
      assertThat(s.time().compareTo(r.sitting()) <= 0 || s.items().size() == 1)
          .as("no sitting is too long: %s", s)
          .isTrue();
      assertThat(s.on()).as("one sitting a day").isAfter(last);
      assertThat(r.days().has(s.on())).as("days off stay free").isTrue();
      assertThat(s.number()).isEqualTo(++number);
      last = s.on();
    }
    long late = plan.sittings().stream().filter(s -> !s.on().isBefore(r.due())).count();
    assertThat(plan.late()).isEqualTo((int) late);
    assertThat(plan.help() == null).isEqualTo(plan.feasible());
  }

  @Property(tries = 300)
  void plan_notInTime_eachHelpAloneHelps(@ForAll("requests") PaceRequest r) {
    PacePlan plan = Planner.plan(r);
    PacePlan.Help help = plan.help();
    if (help == null) {
      return;
    }
    assertThat(Planner.plan(with(r, r.sitting(), help.due())).feasible()).isTrue();
    assertThat(Planner.plan(with(r, r.sitting(), help.due().minusDays(1))).feasible())
        .as("no earlier due date would do")
        .isFalse();
    Duration longer = help.sitting();
    if (longer != null) {
      assertThat(longer).isGreaterThan(r.sitting());
      assertThat(Planner.plan(with(r, longer, r.due())).feasible()).isTrue();
      assertThat(Planner.plan(with(r, longer.minusMinutes(1), r.due())).feasible()).isFalse();
    }
  }

  private static PaceRequest with(PaceRequest r, Duration sitting, LocalDate due) {
    return new PaceRequest(r.items(), r.from(), due, sitting, r.days(), r.done());
  }

  private static PaceRequest request(int things, int days, DayOfWeek... on) {
    List<Item> items = new ArrayList<>();
    for (int i = 0; i < things; i++) {
      items.add(
          new Item(
              Task.REFERENCE, "s1", "g" + i, List.of("A/" + i + ".DNG"), Duration.ofMinutes(15)));
    }
    Days week =
        on.length == 0 ? Days.ALL : new Days(EnumSet.of(on[0], on), new TreeSet<LocalDate>());
    return new PaceRequest(items, MONDAY, MONDAY.plusDays(days), Duration.ofMinutes(45), week, 0);
  }

  @Test
  void plan_moreDaysThanNeeded_spreadsTheSittingsAndLeavesSlackAtTheEnd() {
    PacePlan plan = Planner.plan(request(9, 30));

    assertThat(plan.sittings())
        .extracting(Sitting::on)
        .containsExactly(MONDAY, MONDAY.plusDays(10), MONDAY.plusDays(20));
    assertThat(plan.sittings()).allMatch(s -> s.time().equals(Duration.ofMinutes(45)));
  }

  @Test
  void plan_unevenCount_isBalanced() {
    PacePlan plan = Planner.plan(request(4, 30));

    assertThat(plan.sittings()).allMatch(s -> s.time().equals(Duration.ofMinutes(30)));
  }

  @Test
  void plan_tooFewDays_saysHowFarAndWhatHelps() {
    PacePlan plan = Planner.plan(request(9, 7, DayOfWeek.MONDAY, DayOfWeek.TUESDAY));

    assertThat(plan.days()).isEqualTo(2);
    assertThat(plan.late()).isEqualTo(1);
    assertThat(plan.lateTime()).isEqualTo(Duration.ofMinutes(45));
    assertThat(plan.help())
        .isEqualTo(new PacePlan.Help(Duration.ofMinutes(75), 1, MONDAY.plusDays(8)));
  }

  @Test
  void plan_nothingLeft_isFeasibleWhateverTheDueDate() {
    assertThat(Planner.plan(request(0, -5)).feasible()).isTrue();
  }

  @Test
  void request_dueInAnotherAge_isRefused() {
    assertThatThrownBy(() -> request(1, 9999))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("five years");
  }
}
