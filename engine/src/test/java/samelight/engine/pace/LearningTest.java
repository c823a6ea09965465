package samelight.engine.pace;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.junit.jupiter.api.Test;

class LearningTest {
  private static final Instant EVENING = Instant.parse("2027-06-14T17:00:00Z");

  private static Learning.Save save(String thing, Task task, int place, int second) {
    return new Learning.Save(thing, task, place, EVENING.plusSeconds(second));
  }

  private static Rate rate(List<Learning.Save> saves, Task task) {
    return Objects.requireNonNull(Learning.rates(saves).get(task));
  }

  @Test
  void rates_referencesSavedOneByOne_areTheMedianOfTheTimesBetween() {
    List<Learning.Save> saves = new ArrayList<>();
    int[] at = {0, 100, 220, 360, 380, 500}; // 100, 120, 140, 20, 120 s
    for (int i = 0; i < at.length; i++) {
      saves.add(save("r" + i, Task.REFERENCE, i, at[i]));
    }

    assertThat(Learning.rates(saves).get(Task.REFERENCE))
        .isEqualTo(new Rate(Duration.ofMinutes(2), 5, true));
  }

  @Test
  void rates_fewerThanFive_stayFirstGuessesAndSayHowManyThereAre() {
    List<Learning.Save> saves =
        List.of(save("a", Task.REFERENCE, 0, 0), save("b", Task.REFERENCE, 1, 100));

    assertThat(Learning.rates(saves).get(Task.REFERENCE))
        .isEqualTo(new Rate(Task.REFERENCE.firstGuess(), 1, false));
    assertThat(Learning.rates(List.of()).get(Task.EYES))
        .isEqualTo(new Rate(Task.EYES.firstGuess(), 0, false));
  }

  @Test
  void rates_editorThatSavesAllAtOnce_teachesNothing() {
    List<Learning.Save> saves = new ArrayList<>();
    for (int i = 0; i < 200; i++) {
      saves.add(save("r" + i, Task.REFERENCE, i, 60 * (i / 100)));
    }

    assertThat(rate(saves, Task.REFERENCE).learned()).isFalse();
    assertThat(rate(saves, Task.REFERENCE).samples()).isZero();
  }

  @Test
  void rates_aPause_isNoWork() {
    List<Learning.Save> saves = new ArrayList<>();
    for (int i = 0; i < 6; i++) {
      saves.add(save("r" + i, Task.REFERENCE, i, i * 60 + (i > 2 ? 7200 : 0)));
    }

    assertThat(rate(saves, Task.REFERENCE).samples()).isEqualTo(4);
  }

  @Test
  void rates_framesOfOneFraming_areOneTouch() {
    List<Learning.Save> saves = new ArrayList<>();
    for (int i = 0; i < 6; i++) {
      saves.add(save("f" + i, Task.EYES, 2 * i, i * 30));
      saves.add(save("f" + i, Task.EYES, 2 * i + 1, i * 30 + 1));
    }

    assertThat(Learning.rates(saves).get(Task.EYES))
        .isEqualTo(new Rate(Duration.ofSeconds(29), 5, true));
  }

  @Test
  void rates_touchedInPassing_countTheFramesBetween() {
    List<Learning.Save> saves = new ArrayList<>();
    for (int i = 0; i < 6; i++) {
      saves.add(save("k" + i, Task.LOOK, i * 10, i * 40));
    }

    assertThat(Learning.rates(saves).get(Task.LOOK))
        .isEqualTo(new Rate(Duration.ofSeconds(4), 5, true));
  }

  @Test
  void seen_savesOfTwoEvenings_areTwoSittings() {
    List<Learning.Save> saves =
        List.of(
            save("a", Task.REFERENCE, 0, 86_400),
            save("b", Task.REFERENCE, 1, 86_500),
            save("c", Task.EYES, 2, 86_520),
            save("d", Task.LOOK, 0, 0),
            save("e", Task.LOOK, 1, 300));

    assertThat(Learning.seen(saves))
        .containsExactly(
            new Learning.Seen(EVENING, EVENING.plusSeconds(300), 0, 0, 2),
            new Learning.Seen(EVENING.plusSeconds(86_400), EVENING.plusSeconds(86_520), 2, 1, 0));
  }
}
