package samelight.engine.testing;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;

/** Worked values: scikit-learn, {@code sklearn/metrics/cluster/_supervised.py} (BSD). */
class AgreementTest {
  @Test
  void adjustedRand_workedValues() {
    assertThat(Agreement.of(List.of(0, 0, 1, 2), List.of(0, 0, 1, 1)).adjustedRand())
        .isCloseTo(.5714, within(5e-5));
    assertThat(Agreement.of(List.of(0, 0, 1, 1), List.of(0, 1, 0, 1)).adjustedRand())
        .isCloseTo(-.5, within(1e-12));
  }

  @Test
  void vMeasure_workedValues() {
    Agreement a = Agreement.of(List.of(0, 0, 1, 1, 2, 2), List.of(0, 0, 1, 2, 2, 2));
    assertThat(a.homogeneity()).isCloseTo(.7103, within(5e-5));
    assertThat(a.completeness()).isCloseTo(.7716, within(5e-5));
    assertThat(a.vMeasure()).isCloseTo(.7397, within(5e-5));
  }

  @Test
  void mutualInformation_workedValue() {
    assertThat(
            Agreement.of(List.of(0, 1, 1, 0, 1, 0), List.of(0, 1, 0, 0, 1, 1)).mutualInformation())
        .isCloseTo(.0566, within(5e-5));
  }

  @Test
  void pairs_countedByHand() {
    // Found together: ab, cd; truly together: ab, ac, bc; both: ab.
    Agreement a = Agreement.of(List.of("x", "x", "x", "y"), List.of(1, 1, 2, 2));
    assertThat(a.pairPrecision()).isEqualTo(1 / 2.0);
    assertThat(a.pairRecall()).isEqualTo(1 / 3.0);
    assertThat(a.pairF1()).isCloseTo(0.4, within(1e-12));
  }

  @Test
  void of_unequalLengths_refused() {
    assertThatThrownBy(() -> Agreement.of(List.of(1, 2), List.of(1)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("had 2 and 1");
  }

  @Test
  void of_singleItemOrSingleGroup_agrees() {
    assertThat(Agreement.of(List.of(1), List.of(2)).adjustedRand()).isEqualTo(1);
    Agreement one = Agreement.of(List.of(1, 1, 1), List.of(2, 2, 2));
    assertThat(one.adjustedRand()).isEqualTo(1);
    assertThat(one.vMeasure()).isEqualTo(1);
  }

  @Property
  void of_renamedLabels_isFullAgreement(
      @ForAll @Size(min = 1, max = 40) List<@IntRange(max = 5) Integer> labels) {
    Agreement a = Agreement.of(labels, labels.stream().map(l -> "g" + (9 - l)).toList());
    assertThat(a.adjustedRand()).isCloseTo(1, within(1e-9));
    assertThat(a.vMeasure()).isCloseTo(1, within(1e-9));
    assertThat(a.pairF1()).isEqualTo(1);
  }

  @Property
  void of_swappedPartitions_swapsHomogeneityAndCompleteness(
      @ForAll @Size(min = 1, max = 40) List<@IntRange(max = 5) Integer> labels, @ForAll long seed) {
    List<Integer> other = new ArrayList<>(labels);
    Collections.shuffle(other, new Random(seed));
    Agreement a = Agreement.of(labels, other);
    Agreement b = Agreement.of(other, labels);
    assertThat(a.adjustedRand()).isCloseTo(b.adjustedRand(), within(1e-9));
    assertThat(a.homogeneity()).isCloseTo(b.completeness(), within(1e-9));
    assertThat(a.adjustedRand()).isLessThanOrEqualTo(1 + 1e-9);
  }
}
