package samelight.engine;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static samelight.engine.testing.FrameBuilder.frame;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.Frame;
import samelight.engine.frame.SmallImage;
import samelight.engine.keepers.FramingScore;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Match;
import samelight.engine.metadata.Preview;

/**
 * Seven real frames of one view in one light at one exposure, while the focus moves from the front
 * to the back ({@code keepers/focus}, MIT licence; the originals' Exif: 1/126 s, f/1.8, ISO 50, and
 * the times below). All that differs is the blur, which must not be taken for light.
 */
class RealSeriesTest {
  /** Seconds after the first, by DateTimeOriginal. */
  private static final double[] TIMES = {0, 5, 11, 17, 22, 28, 32};

  private static List<Frame> series() throws Exception {
    List<Frame> frames = new ArrayList<>();
    for (int i = 0; i < TIMES.length; i++) {
      String name = "pcb_00" + (i + 1) + ".jpg";
      Path file =
          Path.of(Objects.requireNonNull(FramingScore.class.getResource("focus/" + name)).toURI());
      frames.add(frame(name).at(TIMES[i]).small(small(file)).build());
    }
    return frames;
  }

  private static SmallImage small(Path file) throws IOException {
    return Preview.read(file, new EmbeddedJpeg(0, Files.size(file), 1024, 768), 96).orElseThrow();
  }

  @Test
  void oneLightOneExposure_isOneGroupWithNothingToCompensate() throws Exception {
    Analysis analysis = ShootAnalysis.of(series(), AnalysisOptions.DEFAULT);

    assertThat(analysis.groups())
        .singleElement()
        .extracting(LightingGroup::frames)
        .satisfies(f -> assertThat(f).hasSize(7));
    for (Match m : analysis.matches().values()) {
      assertThat(m.stops().stops()).as("%s", m).isCloseTo(0, within(0.05));
      assertThat(m.needsEyes()).as("%s", m).isEmpty();
    }
  }
}
