package samelight.engine.keepers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

class KeepersTest {
  private static final double[] EVEN = {1, 1, 1, 1};

  private static FrameQuality quality(String frame, @Nullable Double value) {
    return quality(frame, value, 0, -2, EVEN);
  }

  private static FrameQuality quality(
      String frame, @Nullable Double value, double clipped, double brightness, double[] along) {
    return new FrameQuality(
        frame, value == null ? null : new Sharpness(value, along, clipped, brightness), false);
  }

  private static Map<String, FrameQuality> of(FrameQuality... qualities) {
    Map<String, FrameQuality> out = new HashMap<>();
    for (FrameQuality q : qualities) {
      out.put(q.frame(), q);
    }
    return out;
  }

  private static Take take(List<Take> takes, String frame) {
    return takes.stream().filter(t -> t.frame().equals(frame)).findFirst().orElseThrow();
  }

  @Test
  void sharpest_isKeptAndTheOthersAreToldSofter() {
    List<Take> takes =
        Keepers.propose(
            List.of(List.of("a", "b", "c")),
            of(quality("a", 0.5), quality("b", 1.0), quality("c", 0.9)),
            Map.of(),
            1);

    assertThat(take(takes, "b").keep()).isTrue();
    assertThat(take(takes, "a").reason())
        .isEqualTo("similar to b, softer (50 % of its sharpness, probably out of focus)");
    assertThat(take(takes, "c").reason()).isEqualTo("similar to b, softer (90 % of its sharpness)");
  }

  @Test
  void lossAlongOneDirection_isMotion() {
    List<Take> takes =
        Keepers.propose(
            List.of(List.of("a", "b")),
            of(quality("a", 0.5, 0, -2, new double[] {0.2, 0.6, 0.8, 0.6}), quality("b", 1.0)),
            Map.of(),
            1);

    assertThat(take(takes, "a").reason()).contains("motion blur");
  }

  @Test
  void alikeInSharpness_theUnclippedAndWellExposedIsKept() {
    List<Take> takes =
        Keepers.propose(
            List.of(List.of("a", "b", "c", "d")),
            of(
                quality("a", 1.0, 0.1, -2, EVEN),
                quality("b", 0.97),
                quality("c", 1.0, 0, -4, EVEN),
                quality("d", 0.6)),
            Map.of(),
            1);

    assertThat(take(takes, "b").keep()).isTrue();
    assertThat(take(takes, "a").reason())
        .isEqualTo("similar to b, as sharp, highlights clipped (10 %)");
    assertThat(take(takes, "c").reason())
        .isEqualTo("similar to b, as sharp, exposure far off (-2.0 stops as rendered)");
  }

  @Test
  void aloneAndSoft_isKeptAndNeedsEyes() {
    List<Take> takes =
        Keepers.propose(
            List.of(List.of("a"), List.of("b"), List.of("c")),
            of(quality("a", 0.1), quality("b", 1.0), quality("c", 1.0)),
            Map.of(),
            1);

    assertThat(takes).allMatch(Take::keep);
    assertThat(take(takes, "a").needsEyes()).contains("softer than most");
    assertThat(take(takes, "b").needsEyes()).isEmpty();
  }

  @Test
  void personsWord_isNeverProposedAgainst() {
    List<Take> takes =
        Keepers.propose(
            List.of(List.of("a", "b")),
            of(quality("a", 0.1), quality("b", 1.0)),
            Map.of("a", "you rated it 3"),
            1);

    assertThat(take(takes, "a").keep()).isTrue();
    assertThat(take(takes, "a").reason()).isEqualTo("you rated it 3");
    assertThat(take(takes, "b").similarTo()).isEqualTo("a");
  }

  @Test
  void unmeasured_isKeptAndNeedsEyes() {
    List<Take> takes =
        Keepers.propose(
            List.of(List.of("a", "b")), of(quality("a", null), quality("b", 1.0)), Map.of(), 1);

    assertThat(takes).allMatch(Take::keep);
    assertThat(take(takes, "a").needsEyes()).contains("not measured");
  }

  @Test
  void keepNothing_isRefused() {
    assertThatThrownBy(() -> Keepers.propose(List.of(), Map.of(), Map.of(), 0))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("was 0");
  }

  @Property(tries = 300)
  void anyTake_keepsEnoughAndNeverAgainstAPerson(
      @ForAll @IntRange(min = 1, max = 5) int keep, @ForAll long seed) {
    Random random = new Random(seed);
    List<List<String>> framings = new ArrayList<>();
    Map<String, FrameQuality> qualities = new HashMap<>();
    Map<String, String> settled = new HashMap<>();
    int n = 0;
    for (int i = 0; i < 10; i++) {
      List<String> framing = new ArrayList<>();
      for (int k = 0; k <= random.nextInt(7); k++) {
        String frame = "f" + n++;
        framing.add(frame);
        Double value = random.nextInt(8) == 0 ? null : Double.valueOf(random.nextDouble());
        qualities.put(
            frame, quality(frame, value, random.nextDouble() / 10, -4 * random.nextDouble(), EVEN));
        if (random.nextInt(6) == 0) {
          settled.put(frame, "you rated it");
        }
      }
      framings.add(framing);
    }

    List<Take> takes = Keepers.propose(framings, qualities, settled, keep);

    assertThat(takes).hasSize(n);
    Set<String> out = new HashSet<>();
    takes.stream().filter(t -> !t.keep()).forEach(t -> out.add(t.frame()));
    assertThat(settled.keySet()).noneMatch(out::contains);
    for (List<String> framing : framings) {
      long kept = framing.stream().filter(f -> !out.contains(f)).count();
      assertThat(kept).isGreaterThanOrEqualTo(Math.min(keep, framing.size()));
    }
    for (Take t : takes) {
      String similar = t.similarTo();
      if (similar != null) {
        assertThat(out).doesNotContain(similar);
        FrameQuality own = qualities.get(t.frame());
        assertThat(own != null && own.sharpness() != null).isTrue();
      }
    }
  }
}
