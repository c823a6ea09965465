package samelight.engine.keepers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.net.URISyntaxException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Random;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.metadata.Luma;

/** On open pictures of one view at seven focus settings; ATTRIBUTION.txt beside them. */
class SharpnessTest {
  @TempDir Path folder;

  private static List<Double> series(double x, double y) throws IOException, URISyntaxException {
    List<Double> values = new ArrayList<>();
    for (int i = 1; i <= 7; i++) {
      Path file =
          Path.of(
              Objects.requireNonNull(SharpnessTest.class.getResource("focus/pcb_00" + i + ".jpg"))
                  .toURI());
      values.add(Blurring.read(file, x, y).value());
    }
    return values;
  }

  @Test
  void focusPointOnTheConnectorInFront_firstIsSharpestAndEachNextSofter() throws Exception {
    List<Double> values = series(0.36, 0.89);

    for (int i = 0; i + 1 < values.size(); i++) {
      assertThat(values.get(i)).as("%s", values).isGreaterThan(values.get(i + 1));
    }
  }

  @Test
  void focusPointOnThePrintBehind_eachNextIsSharperUpToTheSixth() throws Exception {
    List<Double> values = series(0.42, 0.12);

    for (int i = 0; i < 5; i++) {
      assertThat(values.get(i)).as("%s", values).isLessThan(values.get(i + 1));
    }
  }

  @Test
  void generatedBlur_ofRealPictures_isRankedRightIn95Of100Pairs() throws Exception {
    SharpnessFigures.Count all = new SharpnessFigures.Count(0, 0, 0, 0, 0, 0);
    Blurring blurring = new Blurring(folder);
    for (int i : new int[] {1, 4, 7}) {
      try (InputStream in =
          Objects.requireNonNull(
              SharpnessTest.class.getResourceAsStream("focus/pcb_00" + i + ".jpg"))) {
        all = all.plus(SharpnessFigures.count(ImageIO.read(in), 1024, new Random(i), blurring));
      }
    }

    assertThat(all.gaussianRight()).isGreaterThanOrEqualTo((int) Math.ceil(0.95 * all.gaussian()));
    assertThat(all.motionRight()).isGreaterThanOrEqualTo((int) Math.ceil(0.95 * all.motion()));
  }

  @Test
  void flatPicture_hasNoSharpnessAndItsBrightness() {
    byte[] codes = new byte[800 * 600];
    java.util.Arrays.fill(codes, (byte) 128);

    Sharpness s = Sharpness.of(new Luma(800, 600, codes), Double.NaN, Double.NaN);

    assertThat(s.value()).isZero();
    assertThat(s.clipped()).isZero();
    assertThat(s.brightness()).isBetween(-2.2, -2.1);
  }

  @Test
  void clippedShare_isThatOfThePixels() {
    byte[] codes = new byte[800 * 600];
    java.util.Arrays.fill(codes, 0, codes.length / 4, (byte) 255);

    assertThat(Sharpness.of(new Luma(800, 600, codes), 0.5, 0.5).clipped()).isEqualTo(0.25);
  }

  @Test
  void tinyPicture_isMeasuredWithoutFailing() {
    for (int side = 1; side < 40; side++) {
      assertThat(Sharpness.of(new Luma(side, 1, new byte[side]), 0, 1).value()).isZero();
      assertThat(Sharpness.of(new Luma(side, side, new byte[side * side]), 1, 0).value()).isZero();
    }
  }
}
