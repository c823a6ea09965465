package samelight.engine.likeness;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.SmallImage;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.testing.Scene;

class PatchFitTest {
  private static View view(SmallImage image) {
    return View.of(image, 1, BodyResponse.SRGB);
  }

  /** A place at exposure {@code stops}, with something else before its columns from to to. */
  private static SmallImage before(
      Scene place, double left, double width, double stops, Scene other, int from, int to) {
    SmallImage back = place.image(left, 0.2, width, stops, 0);
    SmallImage front = other.image(0.2, 0.3, 0.4, -0.5, 0);
    byte[] rgb = back.rgb().clone();
    for (int y = 0; y < back.height(); y++) {
      for (int i = (y * back.width() + from) * 3; i < (y * back.width() + to) * 3; i++) {
        rgb[i] = front.rgb()[i];
      }
    }
    return new SmallImage(back.width(), back.height(), rgb);
  }

  @Property(tries = 40)
  void improve_fromNearby_findsTheCropBehindWhatStandsInFront(
      @ForAll @IntRange(min = 1, max = 500) int seed,
      @ForAll @DoubleRange(min = -1.5, max = 1.5) double beside,
      @ForAll @DoubleRange(min = -0.7, max = 0.5) double stops) {
    Scene place = new Scene(seed);
    View a = view(before(place, 0.1, 0.5, 0, new Scene(seed + 1000), 30, 66));
    View b = view(before(place, 0.13, 0.45, stops, new Scene(seed + 2000), 30, 66));
    double scale = 0.5 / 0.45;
    double x = -0.03 / 0.45 * 96 + 0.5 * (scale - 1);
    double y = 0.5 * (scale - 1);
    double[] p = {scale, 0, x + beside, y - beside};

    int agree = PatchFit.improve(a, 0, b, 1, p, 2, 1);

    assertThat(agree).isGreaterThanOrEqualTo(20);
    double off = Math.hypot((p[0] - scale) * 48 + p[2] - x, (p[0] - scale) * 32 + p[3] - y);
    assertThat(off).isLessThan(0.6);
  }

  @Test
  void of_placeBehindOtherPeople_isMostlyFound_withItsGain() {
    int found = 0;
    for (int seed = 1; seed <= 40; seed++) {
      double stops = -0.7 + 0.02 * seed;
      Scene place = new Scene(seed);
      View a = view(before(place, 0.1, 0.5, 0, new Scene(seed + 1000), 24, 72));
      View b = view(before(place, 0.12, 0.48, stops, new Scene(seed + 2000), 24, 72));
      SharedContent shared = Registration.of(a, b);
      if (shared != null) {
        found++;
        assertThat(shared.gain()).as("seed %d", seed).isCloseTo(stops, within(0.06));
        assertThat(shared.gainSigma()).as("seed %d", seed).isLessThan(0.06);
      }
    }
    assertThat(found).isGreaterThanOrEqualTo(30);
  }

  @Property(tries = 60)
  void improve_otherPlaces_fewPatchesAgree(@ForAll @IntRange(min = 1, max = 500) int seed) {
    View a = view(new Scene(seed).image(0.1, 0.2, 0.5, 0, 0));
    View b = view(new Scene(seed + 3000).image(0.1, 0.2, 0.5, 0, 0));
    assertThat(PatchFit.improve(a, 0, b, 0, new double[] {1, 0, 0, 0}, 2, 1)).isLessThan(20);
  }
}
