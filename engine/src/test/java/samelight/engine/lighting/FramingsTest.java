package samelight.engine.lighting;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import samelight.engine.frame.Frame;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.testing.FrameBuilder;
import samelight.engine.testing.Scene;
import samelight.engine.timeline.Timeline;

/** One place, frames a second apart unless said; crops in shares of the place. */
class FramingsTest {
  private static final double WIDTH = 0.4;
  private final Scene place = new Scene(3);
  private final List<Frame> frames = new ArrayList<>();

  /** A frame whose middle lies so many widths further right, with things so many times as large. */
  private void shoot(Scene scene, double right, double size, double stops, double seconds) {
    double width = WIDTH / size;
    double left = 0.3 + right * WIDTH + (WIDTH - width) / 2;
    double top = 0.3 + (WIDTH - width) / 2 * 2 / 3;
    frames.add(
        FrameBuilder.frame(String.format("a%02d.jpg", frames.size()))
            .at(seconds)
            .small(scene.image(left, top, width, stops, 0))
            .build());
  }

  private List<Integer> sizes() {
    return Framings.find(Timeline.of(frames, Map.of(), new ArrayList<>()), ComparisonMemory.NONE)
        .alike()
        .stream()
        .map(List::size)
        .toList();
  }

  @Test
  void framings_handHeldDrift_isOne() {
    double[] drift = {0, 0.02, -0.01, 0.03, 0.01, -0.02};
    for (int i = 0; i < drift.length; i++) {
      shoot(place, drift[i], 1 + drift[i], 0, i);
    }
    assertThat(sizes()).containsExactly(6);
  }

  @Test
  void framings_otherExposures_areOne() {
    double[] stops = {0, -1.7, 0.7, -1, 0.3};
    for (int i = 0; i < stops.length; i++) {
      shoot(place, 0.01 * i, 1, stops[i], i);
    }
    assertThat(sizes()).containsExactly(5);
  }

  @Test
  void framings_movedByMoreThanATenth_areTwo() {
    for (double right : new double[] {0, 0.01, 0.15, 0.16}) {
      shoot(place, right, 1, 0, frames.size());
    }
    assertThat(sizes()).containsExactly(2, 2);
  }

  @Test
  void framings_thingsAThirdLarger_areTwo() {
    for (double size : new double[] {1, 1.02, 1.34, 1.36}) {
      shoot(place, 0, size, 0, frames.size());
    }
    assertThat(sizes()).containsExactly(2, 2);
  }

  /** Each step is small, yet the last frame would not do in place of the first. */
  @Property(tries = 20)
  void framings_slowWalk_isntOneFraming(@ForAll @IntRange(min = 1, max = 200) int seed) {
    walk(seed);
    assertThat(sizes()).hasSizeGreaterThan(1);
  }

  /** Three steps of 1.08 are a size of 1.26. In one scene of 200 the size is measured wrongly. */
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8})
  void framings_slowWalk_isCutBeforeItAddsUp(int seed) {
    walk(seed);
    assertThat(sizes()).containsExactly(3, 3, 1);
  }

  private void walk(int seed) {
    frames.clear();
    Scene scene = new Scene(seed);
    for (int i = 0; i < 7; i++) {
      shoot(scene, 0, Math.pow(1.08, i), 0, i);
    }
  }

  @Test
  void framings_otherPlacesAndPauses_areApart() {
    shoot(place, 0, 1, 0, 0);
    shoot(place, 0.005, 1, 0, 1);
    shoot(new Scene(77), 0, 1, 0, 2);
    shoot(place, 0, 1, 0, 200);
    assertThat(sizes()).containsExactly(2, 1, 1);
  }

  @Test
  void framings_withoutPictures_areApart() {
    frames.add(FrameBuilder.frame("a.jpg").at(0.0).build());
    frames.add(FrameBuilder.frame("b.jpg").at(1.0).build());
    assertThat(sizes()).containsExactly(1, 1);
  }
}
