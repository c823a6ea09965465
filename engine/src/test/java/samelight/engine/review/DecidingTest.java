package samelight.engine.review;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static samelight.engine.testing.FrameBuilder.frame;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.stream.Collectors;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import samelight.engine.Analysis;
import samelight.engine.ShootAnalysis;
import samelight.engine.StudiedShoot;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.Decisions;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Grade;
import samelight.engine.quantity.Ev;
import samelight.engine.store.PhotographerDecisions;
import samelight.engine.testing.Scene;

class DecidingTest {
  /** Three places of four frames each, so three groups. */
  private static final List<Frame> DAY = day();

  private static final StudiedShoot STUDY = ShootAnalysis.study(DAY, java.util.Map.of());

  private PhotographerDecisions decisions = PhotographerDecisions.NONE;
  private Analysis seen = grouped(decisions);

  private static List<Frame> day() {
    List<Frame> frames = new ArrayList<>();
    for (int place = 0; place < 3; place++) {
      Scene scene = new Scene(50 + place);
      for (int i = 0; i < 4; i++) {
        frames.add(
            frame(place + "" + i + ".DNG")
                .at(1000 * place + i * 0.5)
                .thirds(6 * place)
                .small(scene.image(0.2, 0.2, 0.5, 0, 0))
                .build());
      }
    }
    return frames;
  }

  private static Analysis grouped(PhotographerDecisions decisions) {
    return STUDY.analysis(decisions.options(Set.of()));
  }

  private List<String> decide(Change change) {
    Deciding.Decided decided = Deciding.decide(decisions, seen, change, DecidingTest::grouped);
    decisions = decided.decisions();
    seen = decided.analysis();
    return decided.notes();
  }

  private static Set<Set<String>> sets(Collection<? extends Collection<String>> groups) {
    return groups.stream().map(HashSet::new).collect(Collectors.toSet());
  }

  private Set<Set<String>> groups() {
    return sets(seen.groups().stream().map(LightingGroup::frames).toList());
  }

  @Test
  void decide_nothing_isThreeGroups() {
    assertThat(groups())
        .isEqualTo(
            sets(
                List.of(
                    List.of("00.DNG", "01.DNG", "02.DNG", "03.DNG"),
                    List.of("10.DNG", "11.DNG", "12.DNG", "13.DNG"),
                    List.of("20.DNG", "21.DNG", "22.DNG", "23.DNG"))));
  }

  @Test
  void move_frame_isInTheOtherGroupAndMatchedToItsReference() {
    decide(new Change.Move(List.of("03.DNG"), "11.DNG"));
    assertThat(groups()).contains(Set.of("10.DNG", "11.DNG", "12.DNG", "13.DNG", "03.DNG"));
    assertThat(java.util.Objects.requireNonNull(seen.matches().get("03.DNG")).reference())
        .startsWith("1");
    assertThat(decisions.lighting().moves()).hasSize(1);
  }

  @Test
  void move_backAgain_leavesNoDecision() {
    decide(new Change.Move(List.of("03.DNG"), "11.DNG"));
    decide(new Change.Move(List.of("03.DNG"), "00.DNG"));
    assertThat(decisions).isEqualTo(PhotographerDecisions.NONE);
  }

  @Test
  void bodyReference_groupOfTwoBodies_matchesEachBodyToItsOwn() {
    decide(new Change.BodyReference("12.DNG", Set.of("12.DNG", "13.DNG", "21.DNG")));

    assertThat(groups()).contains(Set.of("10.DNG", "11.DNG"), Set.of("12.DNG", "13.DNG"));
    assertThat(groups()).contains(Set.of("20.DNG", "21.DNG", "22.DNG", "23.DNG"));
    assertThat(java.util.Objects.requireNonNull(seen.matches().get("13.DNG")).reference())
        .isEqualTo("12.DNG");
    assertThat(java.util.Objects.requireNonNull(seen.matches().get("11.DNG")).reference())
        .startsWith("1");
    decide(new Change.Join("12.DNG", "10.DNG"));
    assertThat(groups()).contains(Set.of("10.DNG", "11.DNG", "12.DNG", "13.DNG"));
    assertThat(decisions.lighting().moves()).isEmpty();
  }

  @Test
  void bodyReference_groupOfOneBody_isRefused() {
    assertThatThrownBy(
            () ->
                decide(
                    new Change.BodyReference(
                        "12.DNG", Set.of("10.DNG", "11.DNG", "12.DNG", "13.DNG"))))
        .isInstanceOf(ChangeRefusedException.class)
        .hasMessageContaining("by one body");
    assertThatThrownBy(() -> new Change.BodyReference("12.DNG", Set.of("10.DNG")))
        .isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void split_thenJoin_takesTheSplitBack() {
    decide(new Change.Split("12.DNG"));
    assertThat(groups()).contains(Set.of("10.DNG", "11.DNG"), Set.of("12.DNG", "13.DNG"));
    assertThat(decide(new Change.Join("13.DNG", "10.DNG")))
        .containsExactly("took back the split at 12.DNG");
    assertThat(decisions).isEqualTo(PhotographerDecisions.NONE);
  }

  @Test
  void leaveOut_frameThatWasJoined_keepsTheJoin() {
    decide(new Change.Join("00.DNG", "10.DNG"));
    decide(new Change.LeaveOut(List.of("00.DNG")));
    assertThat(groups())
        .contains(Set.of("01.DNG", "02.DNG", "03.DNG", "10.DNG", "11.DNG", "12.DNG", "13.DNG"));
    assertThat(seen.unmatched()).containsEntry("00.DNG", Decisions.LEFT_OUT);
    assertThat(seen.matches()).doesNotContainKey("00.DNG");
    decide(new Change.TakeIn(List.of("00.DNG")));
    assertThat(seen.unmatched()).isEmpty();
  }

  @Test
  void leaveOut_reference_proposesAnother() {
    String reference = seen.groups().get(0).reference();
    decide(new Change.LeaveOut(List.of(reference)));
    assertThat(seen.groups().get(0).reference()).isNotEqualTo(reference);
    assertThat(seen.groups().get(0).frames()).hasSize(3);
  }

  @Test
  void nameSection_twice_keepsTheLastNameAlone() {
    decide(new Change.NameSection("00.DNG", "Dressing"));
    decide(new Change.NameSection("02.DNG", "<b>\"Garden\"</b>"));
    assertThat(seen.sections().get(0).name()).isEqualTo("<b>\"Garden\"</b>");
    assertThat(decisions.lighting().sectionNames()).hasSize(1);
    decide(new Change.NameSection("01.DNG", " "));
    assertThat(decisions).isEqualTo(PhotographerDecisions.NONE);
  }

  @Test
  void stateGrade_thenTakeBack_leavesNone() {
    decide(new Change.StateGrade("00.DNG", new Grade(new Ev(0.5), null, null)));
    assertThat(decisions.grades()).containsKey("00.DNG");
    decide(new Change.StateGrade("00.DNG", null));
    assertThat(decisions.grades()).isEmpty();
  }

  @Test
  void decide_whatCannotBe_isRefusedWithTheReason() {
    assertThatThrownBy(() -> decide(new Change.Split("00.DNG")))
        .isInstanceOf(ChangeRefusedException.class)
        .hasMessageContaining("first frame");
    assertThatThrownBy(() -> decide(new Change.Reference("nobody.DNG")))
        .hasMessageContaining("no such frame: nobody.DNG");
    assertThatThrownBy(() -> decide(new Change.TakeIn(List.of("00.DNG"))))
        .hasMessageContaining("was not left out");
    assertThatThrownBy(() -> decide(new Change.Join("00.DNG", "01.DNG")))
        .hasMessageContaining("one group already");
  }

  /** Whatever was decided before, a decision changes exactly what it says. */
  @Property(tries = 60)
  void decide_anySequence_changesOnlyWhatIsSaid(
      @ForAll @IntRange(min = 1, max = 1_000_000) int seed) {
    Random random = new Random(seed);
    for (int step = 0; step < 8; step++) {
      List<List<String>> before = new ArrayList<>();
      seen.groups().forEach(g -> before.add(new ArrayList<>(g.frames())));
      List<String> from = before.get(random.nextInt(before.size()));
      List<String> to = before.get(random.nextInt(before.size()));
      String frame = from.get(random.nextInt(from.size()));
      switch (random.nextInt(4)) {
        case 0 -> {
          int at = from.indexOf(frame);
          if (at == 0) {
            continue;
          }
          decide(new Change.Split(frame));
          before.remove(from);
          before.add(from.subList(0, at));
          before.add(from.subList(at, from.size()));
        }
        case 1 -> {
          if (from == to) {
            continue;
          }
          decide(new Change.Join(frame, to.get(0)));
          before.remove(from);
          to.addAll(from);
        }
        case 2 -> {
          if (from == to) {
            continue;
          }
          decide(new Change.Move(List.of(frame), to.get(to.size() - 1)));
          from.remove(frame);
          to.add(frame);
        }
        default -> {
          if (from.size() < 2) {
            continue;
          }
          decide(new Change.Move(List.of(frame), null));
          from.remove(frame);
          before.add(List.of(frame));
        }
      }
      before.removeIf(List::isEmpty);
      assertThat(groups()).as("seed %d, step %d", seed, step).isEqualTo(sets(before));
    }
  }
}
