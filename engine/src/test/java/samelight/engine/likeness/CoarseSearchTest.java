package samelight.engine.likeness;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import samelight.engine.frame.SmallImage;
import samelight.engine.photometry.BodyResponse;

/** Against the definition of normalised cross-correlation ([LEWIS95], equation 2), summed up. */
class CoarseSearchTest {
  private static View view(long seed, int width, int height) {
    Random random = new Random(seed);
    byte[] rgb = new byte[width * height * 3];
    double[] waves = random.doubles(40, 0, 0.6).toArray();
    for (int y = 0; y < height; y++) {
      for (int x = 0; x < width; x++) {
        double v = 110;
        for (int i = 0; i < waves.length; i += 2) {
          v += 12 * Math.sin(waves[i] * x + waves[i + 1] * y + i);
        }
        for (int c = 0; c < 3; c++) {
          rgb[3 * (y * width + x) + c] = (byte) Math.max(30, Math.min(220, v));
        }
      }
    }
    return View.of(new SmallImage(width, height, rgb), 1, BodyResponse.SRGB);
  }

  /** A level of a view as {@link Scales} has it. */
  private static Plane level(View v, int k) {
    Plane half = v.green.shrink((v.width + 1) / 2, (v.height + 1) / 2);
    Scales.Shape shape = v.scales().shape();
    return half.shrink(shape.width(k), shape.height(k)).localContrast(1, 3, 0.1f);
  }

  private static double highest(Plane large, Plane small) {
    double best = 0;
    int leastX = Math.max(4, Math.min(large.width, small.width) / 2);
    int leastY = Math.max(4, Math.min(large.height, small.height) / 2);
    for (int dy = leastY - small.height; dy <= large.height - leastY; dy++) {
      for (int dx = leastX - small.width; dx <= large.width - leastX; dx++) {
        best = Math.max(best, at(large, small, dx, dy));
      }
    }
    return best;
  }

  private static double at(Plane large, Plane small, int dx, int dy) {
    double uv = 0;
    double uu = 0;
    double vv = 0;
    int n = 0;
    for (int y = Math.max(0, dy); y < Math.min(large.height, dy + small.height); y++) {
      for (int x = Math.max(0, dx); x < Math.min(large.width, dx + small.width); x++) {
        double u = large.v[y * large.width + x];
        double v = small.v[(y - dy) * small.width + x - dx];
        uv += u * v;
        uu += u * u;
        vv += v * v;
        n++;
      }
    }
    return Math.sqrt(n) * uv / Math.sqrt(uu * vv);
  }

  @Property(tries = 12)
  void sameSize_isTheHighestCorrelation(
      @ForAll long seed, @ForAll @IntRange(min = 60, max = 107) int height) {
    View a = view(seed, 160, height);
    View b = view(seed + 1, 160, height);
    assertThat(CoarseSearch.sameSize(a, b).z())
        .isCloseTo(highest(level(a, 0), level(b, 0)), within(2e-3));
  }

  @Property(tries = 6)
  void peaks_beginWithTheHighestOfAllSizes(@ForAll long seed, @ForAll boolean upright) {
    View a = view(seed, 160, 107);
    View b = upright ? view(seed + 1, 107, 160) : view(seed + 1, 160, 107);
    double highest = 0;
    for (int k = 0; k < Scales.LEVELS; k++) {
      highest = Math.max(highest, highest(level(a, 0), level(b, k)));
      highest = Math.max(highest, highest(level(b, 0), level(a, k)));
    }
    List<CoarseSearch.Peak> peaks = CoarseSearch.peaks(a, b);
    if (peaks.isEmpty()) {
      assertThat(highest).isLessThan(5.75);
    } else {
      assertThat(peaks.get(0).z()).isCloseTo(highest, within(2e-3));
    }
  }

  @Test
  void peaks_ofTwoViewsInEitherOrder_areTheSamePlaces() {
    View a = view(5, 160, 107);
    View b = view(6, 160, 107);
    CoarseSearch.Peak there = CoarseSearch.peaks(a, b).get(0);
    CoarseSearch.Peak back = CoarseSearch.peaks(b, a).get(0).turned();
    assertThat(back.z()).isCloseTo(there.z(), within(1e-3));
    assertThat(back.scale()).isCloseTo(there.scale(), within(1e-6));
    assertThat(back.x()).isCloseTo(there.x(), within(1e-6));
    assertThat(back.y()).isCloseTo(there.y(), within(1e-6));
  }
}
