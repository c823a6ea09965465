package samelight.engine.colour;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import net.jqwik.api.Assume;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;

class Matrix3Test {
  @Test
  void times_byHand() {
    Matrix3 a = Matrix3.of(1, 2, 3, 4, 5, 6, 7, 8, 10);
    assertThat(a.times(Matrix3.diagonal(1, 10, 100)))
        .isEqualTo(Matrix3.of(1, 20, 300, 4, 50, 600, 7, 80, 1000));
    assertThat(a.times(new double[] {1, 1, 1})).containsExactly(6, 15, 25);
    assertThat(a.times(Matrix3.IDENTITY)).isEqualTo(a).hasSameHashCodeAs(a);
  }

  @Property
  void inverse_timesItself_isIdentity(
      @ForAll @Size(9) List<@DoubleRange(min = -3, max = 3) Double> elements) {
    Matrix3 m = Matrix3.of(elements.stream().mapToDouble(e -> e).toArray());
    Matrix3 inverse;
    try {
      inverse = m.inverse();
    } catch (IllegalArgumentException e) {
      Assume.that(false);
      return;
    }
    Matrix3 product = m.times(inverse);
    double worst = 0;
    double size = 0;
    for (int i = 0; i < 9; i++) {
      worst = Math.max(worst, Math.abs(product.at(i / 3, i % 3) - (i % 4 == 0 ? 1 : 0)));
      size = Math.max(size, Math.abs(inverse.at(i / 3, i % 3)));
    }
    assertThat(worst).isLessThan(1e-13 * (1 + size));
  }

  @Test
  void inverse_singular_refused() {
    assertThatThrownBy(() -> Matrix3.of(1, 2, 3, 2, 4, 6, 0, 1, 1).inverse())
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageStartingWith("matrix must have an inverse, was [1.0, 2.0");
    assertThatThrownBy(() -> Matrix3.diagonal(0, 0, 0).inverse())
        .isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void of_wrongElements_refused() {
    assertThatThrownBy(() -> Matrix3.of(1, 2))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("matrix needs 9 elements, had [1.0, 2.0]");
    assertThatThrownBy(() -> Matrix3.diagonal(1, Double.NaN, 1))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("NaN");
  }

  @Test
  void blend_midway_isMean() {
    assertThat(Matrix3.diagonal(1, 2, 3).blend(Matrix3.diagonal(3, 2, 1), 0.5).at(0, 0))
        .isCloseTo(2, within(1e-15));
  }

  @Test
  void of_callersArray_isCopied() {
    double[] elements = {1, 0, 0, 0, 1, 0, 0, 0, 1};
    Matrix3 m = Matrix3.of(elements);
    elements[0] = 7;
    assertThat(m.at(0, 0)).isEqualTo(1);
  }
}
