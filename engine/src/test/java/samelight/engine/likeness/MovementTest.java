package samelight.engine.likeness;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.SmallImage;
import samelight.engine.testing.Scene;

class MovementTest {
  private static final double WIDTH = 0.4;

  /**
   * A crop whose middle lies so far from the first's, in its widths, with things so many times as
   * large.
   */
  private static Likeness crop(Scene place, double right, double down, double size, double stops) {
    double width = WIDTH / size;
    double left = 0.3 + right * WIDTH + (WIDTH - width) / 2;
    double top = 0.3 + down * WIDTH + (WIDTH - width) / 2 * 2 / 3;
    return Likeness.of(place.image(left, top, width, stops, 0));
  }

  @Property(tries = 60)
  void movement_ofACropOfOnePlace_isTheCropsOwn(
      @ForAll @IntRange(min = 1, max = 500) int seed,
      @ForAll @DoubleRange(min = -0.1, max = 0.1) double right,
      @ForAll @DoubleRange(min = -0.08, max = 0.08) double down,
      @ForAll @DoubleRange(min = 0.8, max = 1.25) double size,
      @ForAll @DoubleRange(min = -1.5, max = 0.5) double stops) {
    Scene place = new Scene(seed);
    Movement found = crop(place, 0, 0, 1, 0).movementTo(crop(place, right, down, size, stops));

    assertThat(found.correlation()).isGreaterThan(0.85);
    assertThat(found.shift()).isCloseTo(Math.hypot(right, down) * size, within(0.02));
    assertThat(found.scale()).isCloseTo(size, within(0.04));
  }

  @Test
  void movement_toItself_isNone() {
    Likeness one = crop(new Scene(5), 0, 0, 1, 0);
    Movement found = one.movementTo(one);
    assertThat(found.correlation()).isCloseTo(1, within(1e-6));
    assertThat(found.shift()).isZero();
    assertThat(found.scale()).isEqualTo(1);
  }

  @Test
  void within_nothingInThePicture_isNotKnownToHaveMoved() {
    Likeness flat = Likeness.of(new SmallImage(90, 60, new byte[90 * 60 * 3]));
    assertThat(flat.movementTo(flat).within(0, 1)).isTrue();
  }

  @Test
  void within_limits_areMeasuredBothWays() {
    assertThat(new Movement(0.9, 1.2, 0.1).within(0.1, 1.2)).isTrue();
    assertThat(new Movement(0.9, 1 / 1.2, 0.1).within(0.1, 1.2)).isTrue();
    assertThat(new Movement(0.9, 1, 0.11).within(0.1, 1.2)).isFalse();
    assertThat(new Movement(0.9, 1.22, 0).within(0.1, 1.2)).isFalse();
    assertThat(new Movement(0.9, 1 / 1.22, 0).within(0.1, 1.2)).isFalse();
    assertThat(new Movement(0.5, 3, 0.5).within(0.1, 1.2)).isTrue();
  }

  @Test
  void movement_ofOtherShapes_isRefused() {
    Likeness upright = Likeness.of(new SmallImage(60, 90, new byte[90 * 60 * 3]));
    Likeness across = Likeness.of(new SmallImage(90, 60, new byte[90 * 60 * 3]));
    assertThatThrownBy(() -> upright.movementTo(across))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("30 x 45 and 45 x 30");
  }

  @Test
  void movement_ofASinglePixel_isNotKnown() {
    Likeness one = Likeness.of(new SmallImage(1, 1, new byte[3]));
    assertThat(one.movementTo(one).within(0, 1)).isTrue();
  }
}
