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
import samelight.engine.testing.Scene;

class RegistrationTest {
  private static View view(SmallImage image) {
    return View.of(image, 1, BodyResponse.SRGB);
  }

  @Test
  void of_otherCropOfOnePlace_givesTheGain() {
    Scene place = new Scene(1);
    View wide = view(place.image(0.1, 0.2, 0.5, 0, 0));
    View close = view(place.image(0.2, 0.27, 0.33, -0.8, 0));

    SharedContent shared = Objects.requireNonNull(Registration.of(wide, close));

    assertThat(shared.gain()).isCloseTo(-0.8, within(0.03));
    assertThat(shared.scale()).isCloseTo(0.5 / 0.33, within(0.02));
    assertThat(shared.redGreen()).isCloseTo(0, within(0.03));
  }

  @Test
  void of_warmerLight_givesTheCast() {
    Scene place = new Scene(2);
    SharedContent shared =
        Registration.of(
            view(place.image(0.1, 0.2, 0.5, 0, 0)), view(place.image(0.13, 0.22, 0.45, 0, 0.25)));

    assertThat(Objects.requireNonNull(shared).redGreen()).isCloseTo(0.25, within(0.03));
  }

  @Test
  void of_otherPlaces_findsNothing() {
    for (int seed = 10; seed < 40; seed++) {
      View one = view(new Scene(seed).image(0.1, 0.2, 0.5, 0, 0));
      View other = view(new Scene(seed + 1000).image(0.1, 0.2, 0.5, 0, 0));
      assertThat(Registration.of(one, other)).as("seeds %d, %d", seed, seed + 1000).isNull();
    }
  }

  @Test
  void of_flatPictures_findsNothing() {
    byte[] grey = new byte[96 * 64 * 3];
    java.util.Arrays.fill(grey, (byte) 118);
    View flat = view(new SmallImage(96, 64, grey));
    assertThat(Registration.of(flat, flat)).isNull();
  }

  @Test
  void sameFraming_smallMove_isFound() {
    Scene place = new Scene(3);
    SharedContent shared =
        Registration.sameFraming(
            view(place.image(0.1, 0.2, 0.5, 0, 0)), view(place.image(0.11, 0.205, 0.5, 0.33, 0)));
    assertThat(Objects.requireNonNull(shared).gain()).isCloseTo(0.33, within(0.02));
  }

  @Test
  void sameFraming_otherCrop_isNone() {
    Scene place = new Scene(3);
    assertThat(
            Registration.sameFraming(
                view(place.image(0.1, 0.2, 0.5, 0, 0)), view(place.image(0.2, 0.3, 0.33, 0, 0))))
        .isNull();
  }

  @Property(tries = 40)
  void of_swapped_negatesTheGain(
      @ForAll @IntRange(min = 1, max = 500) int seed,
      @ForAll @DoubleRange(min = -1, max = 0.7) double stops,
      @ForAll @DoubleRange(min = 0.3, max = 0.5) double width) {
    Scene place = new Scene(seed);
    View a = view(place.image(0.1, 0.2, 0.5, 0, 0));
    View b = view(place.image(0.15, 0.22, width, stops, 0));
    SharedContent there = Registration.of(a, b);
    SharedContent back = Registration.of(b, a);
    if (there != null) {
      assertThat(there.gain()).isCloseTo(stops, within(0.05));
    }
    if (there != null && back != null) {
      assertThat(there.gain()).isCloseTo(-back.gain(), within(0.03));
    }
  }

  @Test
  void upright_anyOrientation_isTheSameView() {
    Scene place = new Scene(4);
    SmallImage image = place.image(0.1, 0.2, 0.5, 0, 0);
    View upright = view(image);
    for (int orientation = 1; orientation <= 8; orientation++) {
      View turned = View.of(stored(image, orientation), orientation, BodyResponse.SRGB);
      assertThat(turned.green.v).as("orientation %d", orientation).isEqualTo(upright.green.v);
    }
  }

  /** Stores an upright picture the way a camera with this orientation would (Exif 2.2, p. 18). */
  private static SmallImage stored(SmallImage upright, int orientation) {
    int w = upright.width();
    int h = upright.height();
    boolean swap = orientation >= 5;
    int columns = swap ? h : w;
    int rows = swap ? w : h;
    byte[] out = new byte[w * h * 3];
    for (int r = 0; r < rows; r++) {
      for (int c = 0; c < columns; c++) {
        int x =
            switch (orientation) {
              case 1, 4 -> c;
              case 2, 3 -> w - 1 - c;
              case 5, 8 -> r;
              default -> w - 1 - r;
            };
        int y =
            switch (orientation) {
              case 1, 2 -> r;
              case 3, 4 -> h - 1 - r;
              case 5, 6 -> c;
              default -> h - 1 - c;
            };
        for (int channel = 0; channel < 3; channel++) {
          out[(r * columns + c) * 3 + channel] = (byte) upright.code(x, y, channel);
        }
      }
    }
    return new SmallImage(columns, rows, out);
  }
}
