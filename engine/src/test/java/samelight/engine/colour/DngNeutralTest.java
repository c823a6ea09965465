package samelight.engine.colour;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.quantity.Kelvin;

class DngNeutralTest {
  private static final DngNeutral EXAMPLE =
      DngNeutral.of(
          Matrix3.of(.5309, -.0229, -.0336, -.6241, 1.3265, .3337, -.0817, .1215, .6664),
          new Kelvin(2850),
          Matrix3.of(.4716, .0603, -.0830, -.7798, 1.5474, .2480, -.1496, .1937, .6651),
          new Kelvin(6500));

  @Test
  void chromaticity_workedExample() {
    Chromaticity white = EXAMPLE.chromaticity(new CameraNeutral(.41306999, .646465)).orElseThrow();

    assertThat(white.x()).isCloseTo(.32816244, within(1e-5));
  }
}
