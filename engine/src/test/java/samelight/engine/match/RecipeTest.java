package samelight.engine.match;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static samelight.engine.testing.FrameBuilder.frame;

import java.util.List;
import java.util.Objects;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;
import samelight.engine.quantity.Mired;

class RecipeTest {
  private static Match match(double stops, double mired) {
    return new Match(
        "f.DNG",
        "r.DNG",
        new Ev(stops),
        new Ev(0.05),
        new Mired(mired),
        new Mired(2),
        Duv.ZERO,
        List.of(),
        new Evidence(new Ev(stops), Ev.ZERO, "test", List.of(), List.of()));
  }

  private static Recipe recipe(double grade, double kelvin, Match match) {
    return Recipe.of(
        "s1",
        "g1",
        new Grade(new Ev(grade), new Kelvin(kelvin), null),
        match,
        frame("f.DNG").kelvin(5200).build());
  }

  @Property
  void of_gradeRaised_raisesTheRecipeByAsMuch(
      @ForAll @DoubleRange(min = -3, max = 3) double grade,
      @ForAll @DoubleRange(min = -2, max = 2) double k,
      @ForAll @DoubleRange(min = -2, max = 2) double stops) {
    double low = recipe(grade, 5000, match(stops, 0)).exposure().stops();
    double high = recipe(grade + k, 5000, match(stops, 0)).exposure().stops();
    assertThat(high - low).isCloseTo(k, within(1e-9));
  }

  @Test
  void of_warmerLight_lowersTheKelvin() {
    // 3200 K to 5500 K is -130.7 mired (conversion filter tables; 80A is -131)
    Recipe r = recipe(0, 5500, match(0, 130.7));
    assertThat(Objects.requireNonNull(r.colourTemperature()).value()).isCloseTo(3200, within(1.0));
  }

  @Test
  void of_asShotKnown_saysTheShiftFromIt() {
    Recipe r = recipe(0, 5000, match(0, 0));
    assertThat(Objects.requireNonNull(r.miredFromAsShot()).value())
        .isCloseTo(1e6 / 5000 - 1e6 / 5200, within(1e-9));
  }

  @Test
  void of_gradeWithoutKelvin_hasNoKelvin() {
    Recipe r =
        Recipe.of(
            "s1", "g1", new Grade(Ev.ZERO, null, null), match(0.5, 10), frame("f.DNG").build());
    assertThat(r.colourTemperature()).isNull();
    assertThat(r.miredFromAsShot()).isNull();
    assertThat(r.exposure().stops()).isEqualTo(0.5);
  }
}
