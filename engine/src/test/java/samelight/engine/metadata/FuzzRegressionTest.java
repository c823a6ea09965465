package samelight.engine.metadata;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatCode;

import java.io.IOException;
import java.util.Map;
import java.util.Objects;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Runs the fuzz targets on their seeds and on everything that fuzzing found. */
class FuzzRegressionTest {
  @ParameterizedTest
  @ValueSource(strings = {"Frames", "Boxes", "Jpegs", "Hevcs", "Packets"})
  void target_onSeedsAndOldFindings_holds(String target) throws IOException {
    Map<String, byte[]> seeds = FuzzSeeds.of(target);
    assertThat(seeds).isNotEmpty();
    seeds.forEach(
        (name, bytes) ->
            assertThatCode(() -> Objects.requireNonNull(FuzzTargets.ALL.get(target)).accept(bytes))
                .as(name)
                .doesNotThrowAnyException());
  }
}
