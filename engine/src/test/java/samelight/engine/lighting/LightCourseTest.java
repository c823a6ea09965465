package samelight.engine.lighting;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class LightCourseTest {
  @Test
  void line_betweenTwo_isStraight_besideOne_isLevel() {
    double[] light = {1, 3};
    Steadiness.Guess guess = new Steadiness.Guess(0, 1);
    assertThat(new LightCourse.Known(0, 1, 0.25, guess).line(k -> light[k])).isEqualTo(1.5);
    assertThat(new LightCourse.Known(-1, 1, 0.25, guess).line(k -> light[k])).isEqualTo(3);
    assertThat(new LightCourse.Known(0, -1, 0.25, guess).line(k -> light[k])).isEqualTo(1);
  }
}
