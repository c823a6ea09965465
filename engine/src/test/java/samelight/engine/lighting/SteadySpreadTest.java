package samelight.engine.lighting;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;

class SteadySpreadTest {
  @Property(tries = 40)
  void of_errorsAmongChanges_findsTheErrors(
      @ForAll @DoubleRange(min = 0.5, max = 2) double error,
      @ForAll @DoubleRange(min = 0.5, max = 0.9) double steady,
      @ForAll long seed) {
    Random r = new Random(seed);
    double[] z = new double[1500];
    for (int i = 0; i < z.length; i++) {
      z[i] = r.nextGaussian() * (r.nextDouble() < steady ? error : 25);
    }
    assertThat(SteadySpread.of(z)).isCloseTo(error, within(0.15 * error));
  }

  @Test
  void of_nothing_isOne() {
    assertThat(SteadySpread.of(new double[0])).isEqualTo(1);
  }

  @Test
  void of_fewDifferences_changeLittle() {
    assertThat(SteadySpread.of(new double[] {2, -2, 2})).isBetween(1.0, 1.5);
    assertThat(SteadySpread.of(new double[] {0, 0, 0})).isBetween(0.8, 1.0);
  }

  @Test
  void of_signs_meanNothing() {
    double[] z = {0.3, -1.2, 2, 14, -0.4};
    double[] turned = {-0.3, 1.2, -2, -14, 0.4};
    assertThat(SteadySpread.of(turned)).isEqualTo(SteadySpread.of(z));
  }
}
