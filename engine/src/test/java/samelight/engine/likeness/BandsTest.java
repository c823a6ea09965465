package samelight.engine.likeness;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Objects;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.SmallImage;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.photometry.SrgbTransfer;
import samelight.engine.testing.Scene;

class BandsTest {
  private static final int UPRIGHT = 1;

  /** A picture of a sensor that read its rows one after another under a lamp that flickered. */
  private static SmallImage banded(SmallImage image, double stops, double cycles, double phase) {
    byte[] rgb = image.rgb().clone();
    for (int y = 0; y < image.height(); y++) {
      double turn = cycles * (y + 0.5) / image.height() + phase;
      double gain = Math.pow(2, stops * Math.cos(2 * Math.PI * turn));
      for (int i = y * image.width() * 3; i < (y + 1) * image.width() * 3; i++) {
        rgb[i] =
            (byte)
                SrgbTransfer.encode8(
                    Math.min(1, gain * SrgbTransfer.decode((rgb[i] & 255) / 255.0)));
      }
    }
    return new SmallImage(image.width(), image.height(), rgb);
  }

  private static double amplitude(SmallImage first, SmallImage second, int orientation) {
    Look.Banded found = look(first, orientation).banded(look(second, orientation));
    return found == null ? 0 : found.amplitude();
  }

  private static Look look(SmallImage image, int orientation) {
    return new Look(image, orientation, BodyResponse.SRGB, ComparisonMemory.NONE);
  }

  @Property(tries = 40)
  void amplitude_bandsOfTwoPhases_isTheirDifference(
      @ForAll @IntRange(min = 1, max = 30) int seed,
      @ForAll @DoubleRange(min = 1.5, max = 8) double cycles,
      @ForAll @DoubleRange(min = 0.15, max = 0.35) double stops,
      @ForAll @DoubleRange(min = 0.2, max = 0.8) double apart,
      @ForAll boolean turned) {
    SmallImage plain = new Scene(seed).image(0.1, 0.2, 0.5, 0, 0);
    double found =
        amplitude(
            banded(plain, stops, cycles, 0.1),
            banded(plain, stops, cycles, 0.1 + apart),
            turned ? 6 : UPRIGHT);
    double expected = 2 * stops * Math.sin(Math.PI * apart);
    assertThat(found).isCloseTo(expected, within(0.25 * expected));
  }

  @Property(tries = 40)
  void amplitude_withoutBands_isNone(
      @ForAll @IntRange(min = 1, max = 200) int seed,
      @ForAll @DoubleRange(min = -1, max = 1) double brighter,
      @ForAll @DoubleRange(min = -0.02, max = 0.02) double moved) {
    Scene scene = new Scene(seed);
    SmallImage first = scene.image(0.1, 0.2, 0.5, 0, 0);
    SmallImage second = scene.image(0.1 + moved, 0.2, 0.5, brighter, 0);
    assertThat(amplitude(first, second, UPRIGHT)).isZero();
  }

  @Test
  void amplitude_bandsOfOnePhase_cannotBeSeen() {
    SmallImage plain = new Scene(5).image(0.1, 0.2, 0.5, 0, 0);
    SmallImage one = banded(plain, 0.3, 3, 0.2);
    assertThat(amplitude(one, banded(plain, 0.3, 3, 0.2), UPRIGHT)).isZero();
  }

  @Test
  void amplitude_stripesThatDontLieAlongTheSensorsRows_areNoBands() {
    SmallImage plain = new Scene(6).image(0.1, 0.2, 0.5, 0, 0);
    View a = View.of(banded(plain, 0.3, 3, 0), UPRIGHT, BodyResponse.SRGB);
    View b = View.of(banded(plain, 0.3, 3, 0.5), UPRIGHT, BodyResponse.SRGB);
    assertThat(Bands.between(a, b, new int[2], false).amplitude()).isGreaterThan(0.4);
    assertThat(Bands.between(a, b, new int[2], true).amplitude()).isZero();
  }

  @Test
  void banded_framesOfOneFraming_haveTheirGainWithoutTheBands() {
    Scene scene = new Scene(8);
    SmallImage first = banded(scene.image(0.1, 0.2, 0.5, 0, 0), 0.3, 3, 0);
    SmallImage second = banded(scene.image(0.105, 0.2, 0.5, 0.4, 0), 0.3, 3, 0.5);
    Look.Banded found = Objects.requireNonNull(look(first, UPRIGHT).banded(look(second, UPRIGHT)));
    // the tone curve of a plain sRGB picture is undone exactly (IEC 61966-2-1)
    assertThat(found.shared().gain()).isCloseTo(0.4, within(0.05));
  }

  @Test
  void fit_lightThatFallsOff_isNoCosine() {
    double[] slope = new double[64];
    for (int i = 0; i < slope.length; i++) {
      slope[i] = 0.4 - 0.01 * i;
    }
    assertThat(Bands.fit(slope).amplitude()).isZero();
  }

  @Test
  void fit_aStepWhereSomebodyStood_leavesTooMuch() {
    double[] step = new double[64];
    for (int i = 20; i < 30; i++) {
      step[i] = 0.5;
    }
    assertThat(Bands.fit(step).left()).isGreaterThan(Bands.LEFT);
  }
}
