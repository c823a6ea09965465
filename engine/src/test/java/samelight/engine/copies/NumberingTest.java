package samelight.engine.copies;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

/** DCF numbers run from 0001 to 9999 and then begin again ([DCF], file names). */
class NumberingTest {
  private static CopyRecord shot(String body, int number, int second, @Nullable String ext) {
    String name = String.format("TERN%04d.%s", number, ext == null ? "JPG" : ext);
    return new CopyRecord(
        body + "/" + name,
        1,
        "0".repeat(64),
        0,
        "card",
        "DCIM/100TERNA/" + name,
        "0".repeat(64),
        body,
        LocalDateTime.of(2026, 6, 6, 12, 0).plusSeconds(second),
        Instant.EPOCH,
        null,
        CopyRecord.ReadBackFrom.NOT_YET);
  }

  @Test
  void holes_acrossTheRollOver_arePlaced() {
    List<CopyRecord> shots = new ArrayList<>();
    int t = 0;
    for (int n : new int[] {9997, 9998, 2, 3, 5}) {
      shots.add(shot("a", n, t++, null));
    }

    assertThat(Numbering.holes(shots))
        .extracting(Numbering.Hole::first, Numbering.Hole::last, Numbering.Hole::count)
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple(9999, 1, 2),
            org.assertj.core.groups.Tuple.tuple(4, 4, 1));
  }

  @Test
  void holes_ofTwoBodies_areTheirOwn() {
    List<CopyRecord> shots =
        List.of(
            shot("a", 10, 0, null),
            shot("b", 11, 1, null),
            shot("a", 12, 2, null),
            shot("b", 12, 3, null));

    assertThat(Numbering.holes(shots))
        .singleElement()
        .hasToString(
            "a: 0011 missing between 0010 and 0012: deleted in camera, or on another card?");
  }

  @Test
  void counterSetBack_isAnotherSeriesAndNoHole() {
    List<CopyRecord> shots =
        List.of(shot("a", 4000, 0, null), shot("a", 1, 1, null), shot("a", 2, 2, null));

    assertThat(Numbering.holes(shots)).isEmpty();
  }

  @Test
  void names_thatAreNotDcf_haveNoNumber() {
    assertThat(Numbering.number("a/IMG_0412.JPG")).isEqualTo(412);
    assertThat(Numbering.number("a/_MG_0412.CR2")).isEqualTo(412);
    assertThat(Numbering.number("a/IMG_0000.JPG")).isNull();
    assertThat(Numbering.number("a/holiday.jpg")).isNull();
    assertThat(Numbering.number("a/PXL_20260606_0412.JPG")).isNull();
  }

  @Property(tries = 200)
  void holes_ofRandomGaps_countWhatIsMissing(
      @ForAll @IntRange(min = 1, max = 9999) int first, @ForAll long seed) {
    Random random = new Random(seed);
    List<CopyRecord> shots = new ArrayList<>();
    int missing = 0;
    int n = first;
    for (int i = 0; i < 300; i++) {
      if (i > 0 && random.nextInt(10) == 0) {
        int gap = 1 + random.nextInt(3);
        missing += gap;
        n += gap;
      }
      shots.add(shot("a", (n - 1) % 9999 + 1, i, random.nextBoolean() ? "JPG" : "NEF"));
      n++;
    }
    Collections.shuffle(shots, random);

    assertThat(Numbering.holes(shots).stream().mapToInt(Numbering.Hole::count).sum())
        .isEqualTo(missing);
  }
}
