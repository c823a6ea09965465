package samelight.engine.likeness;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SkinTest {
  /**
   * Mean CIELAB of skin, D65, by individual typology angle from very light to dark, and the two
   * skin patches of the 24-patch colour chart; from memory, no source at hand.
   */
  @ParameterizedTest
  @CsvSource({
    "very light,  70,  9, 14",
    "light,       66, 10, 15",
    "intermediate,62, 11, 17",
    "tan,         55, 11, 19",
    "brown,       46, 12, 18",
    "dark,        35, 11, 14",
    "very dark,   28,  9, 11",
    "chart light, 66, 18, 18",
    "chart dark,  38, 14, 15"
  })
  void is_skinOfAnyTone(String tone, double light, double a, double b) {
    double[] rgb = linear(light, a, b);
    assertThat(Skin.is(log(rgb[0] / rgb[1]), log(rgb[2] / rgb[1]))).as(tone).isTrue();
  }

  @ParameterizedTest
  @CsvSource({
    "grey,   50,   0,   0",
    "white,  95,   0,   2",
    "grass,  50, -25,  30",
    "sky,    65,  -5, -25",
    "red,    45,  60,  35",
    "sand,   75,   3,  12"
  })
  void is_notWhatIsNoSkin(String what, double light, double a, double b) {
    double[] rgb = linear(light, a, b);
    assertThat(Skin.is(log(rgb[0] / rgb[1]), log(rgb[2] / rgb[1]))).as(what).isFalse();
  }

  @Property(tries = 100)
  void level_followsTheLightExactly(@ForAll @DoubleRange(min = -3, max = 0.5) double stops) {
    double before = level(0);
    assertThat(level(stops) - before).isCloseTo(stops, within(1e-4));
  }

  @org.junit.jupiter.api.Test
  void level_isUnknownWithoutSkin() {
    Plane grey = new Plane(40, 30);
    java.util.Arrays.fill(grey.v, -2.5f);
    assertThat(Skin.level(grey, grey, grey)).isNaN();
  }

  /** A brown face of a tenth of a grey picture. */
  private static double level(double stops) {
    double[] rgb = linear(46, 12, 18);
    Plane[] p = {new Plane(40, 30), new Plane(40, 30), new Plane(40, 30)};
    for (int c = 0; c < 3; c++) {
      for (int i = 0; i < p[c].v.length; i++) {
        p[c].v[i] = (float) ((i < 120 ? log(rgb[c]) : -2.5) + stops);
      }
    }
    return Skin.level(p[0], p[1], p[2]);
  }

  /** CIELAB under D65 to linear sRGB: [CIE15], [IEC61966-2-1]. */
  private static double[] linear(double light, double a, double b) {
    double fy = (light + 16) / 116;
    double x = 0.95047 * cube(fy + a / 500);
    double y = cube(fy);
    double z = 1.08883 * cube(fy - b / 200);
    return new double[] {
      3.2406 * x - 1.5372 * y - 0.4986 * z,
      -0.9689 * x + 1.8758 * y + 0.0415 * z,
      0.0557 * x - 0.2040 * y + 1.0570 * z
    };
  }

  private static double cube(double f) {
    return f > 6.0 / 29 ? f * f * f : (f - 4.0 / 29) * 3 * 36 / 841;
  }

  private static double log(double v) {
    return Math.log(v) / Math.log(2);
  }
}
