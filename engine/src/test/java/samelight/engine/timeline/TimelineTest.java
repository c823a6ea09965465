package samelight.engine.timeline;

import static org.assertj.core.api.Assertions.assertThat;
import static samelight.engine.testing.FrameBuilder.frame;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.Finding;

class TimelineTest {
  private static List<String> order(List<TimedFrame> day) {
    return day.stream().map(f -> f.frame().file()).toList();
  }

  @Test
  void of_offsetOfABody_movesItsFrames() {
    var day =
        Timeline.of(
            List.of(
                frame("a/1.DNG").body("a").at(100.0).build(),
                frame("b/1.DNG").body("b").at(3650.0).build()),
            Map.of("b", -3600.0),
            new ArrayList<>());
    assertThat(order(day)).containsExactly("b/1.DNG", "a/1.DNG");
  }

  @Test
  void of_frameWithoutTime_staysNextToItsNeighbourAndIsSaid() {
    List<Finding> findings = new ArrayList<>();
    var day =
        Timeline.of(
            List.of(
                frame("a/3.DNG").at(30.0).build(),
                frame("a/2.DNG").at(null).build(),
                frame("a/1.DNG").at(10.0).build()),
            Map.of(),
            findings);
    assertThat(order(day)).containsExactly("a/1.DNG", "a/2.DNG", "a/3.DNG");
    assertThat(findings).singleElement().extracting(Finding::file).isEqualTo("a/2.DNG");
  }

  @Test
  void of_bodyWithoutAnyTime_comesLast() {
    var day =
        Timeline.of(
            List.of(frame("b/1.DNG").body("b").at(null).build(), frame("a/1.DNG").at(5.0).build()),
            Map.of(),
            new ArrayList<>());
    assertThat(order(day)).containsExactly("a/1.DNG", "b/1.DNG");
    assertThat(day.get(1).seconds()).isNaN();
  }

  @Test
  void apart_bracket_isRecognised() {
    var day =
        Timeline.of(
            List.of(
                frame("a/1.DNG").at(1.0).build(),
                frame("a/2.DNG").at(10.0).mode(2).bias(0).thirds(0).build(),
                frame("a/3.DNG").at(10.4).mode(2).bias(-2).thirds(6).build(),
                frame("a/4.DNG").at(10.8).mode(2).bias(2).thirds(-6).build(),
                frame("a/5.DNG").at(60.0).mode(2).build()),
            Map.of(),
            new ArrayList<>());
    assertThat(Series.apart(day).keySet())
        .containsExactlyInAnyOrder("a/2.DNG", "a/3.DNG", "a/4.DNG");
  }
}
