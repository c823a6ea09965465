package samelight.engine.pace;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;

/** Against all ways to cut a short row, one by one. */
class CutTest {
  /** What a way to cut costs. */
  private record Cost(long tears, int sittings, long squares) {
    static final Comparator<Cost> ORDER =
        Comparator.comparingLong(Cost::tears)
            .thenComparingInt(Cost::sittings)
            .thenComparingLong(Cost::squares);
  }

  private static int[] groups(List<Boolean> starts) {
    int[] groups = new int[starts.size()];
    for (int i = 1; i < groups.length; i++) {
      groups[i] = groups[i - 1] + (starts.get(i) ? 1 : 0);
    }
    return groups;
  }

  private static Cost cost(long[] seconds, int[] groups, List<Integer> ends) {
    long tears = 0;
    long squares = 0;
    int start = 0;
    for (int end : ends) {
      long sum = 0;
      for (int i = start; i < end; i++) {
        sum += seconds[i];
      }
      squares += sum * sum;
      tears += start > 0 && groups[start] == groups[start - 1] ? 1 : 0;
      start = end;
    }
    return new Cost(tears, ends.size(), squares);
  }

  private static boolean allowed(long[] seconds, long limit, List<Integer> ends) {
    int start = 0;
    for (int end : ends) {
      long sum = 0;
      for (int i = start; i < end; i++) {
        sum += seconds[i];
      }
      if (sum > limit && end - start > 1) {
        return false;
      }
      start = end;
    }
    return true;
  }

  /** Every way to cut the row that the limit allows. */
  private static List<List<Integer>> all(long[] seconds, long limit) {
    List<List<Integer>> ways = new ArrayList<>();
    int n = seconds.length;
    for (int cuts = 0; cuts < 1 << (n - 1); cuts++) {
      List<Integer> ends = new ArrayList<>();
      for (int i = 1; i < n; i++) {
        if ((cuts >> (i - 1) & 1) == 1) {
          ends.add(i);
        }
      }
      ends.add(n);
      if (allowed(seconds, limit, ends)) {
        ways.add(ends);
      }
    }
    return ways;
  }

  @Property(tries = 2000)
  void of_shortRow_isTheBestOfAllWays(
      @ForAll @Size(min = 1, max = 9) List<@IntRange(min = 1, max = 12) Integer> times,
      @ForAll @Size(9) List<Boolean> starts,
      @ForAll @IntRange(min = 1, max = 25) int limit,
      @ForAll @IntRange(min = 0, max = 10) int most) {
    long[] seconds = times.stream().mapToLong(Integer::intValue).toArray();
    int[] groups = groups(starts.subList(0, times.size()));

    List<Integer> ends = Arrays.stream(Cut.of(seconds, groups, limit, most)).boxed().toList();

    List<List<Integer>> ways = all(seconds, limit);
    int fewest = ways.stream().mapToInt(List::size).min().orElseThrow();
    int room = Math.max(fewest, most);
    Cost best =
        ways.stream()
            .filter(w -> w.size() <= room)
            .map(w -> cost(seconds, groups, w))
            .min(Cost.ORDER)
            .orElseThrow();
    assertThat(allowed(seconds, limit, ends)).isTrue();
    assertThat(cost(seconds, groups, ends)).isEqualTo(best);
    assertThat(Cut.fewest(seconds, limit)).isEqualTo(fewest);
  }

  @Test
  void of_nothing_needsNoSitting() {
    assertThat(Cut.of(new long[0], new int[0], 60, 5)).isEmpty();
  }

  @Test
  void of_groupsThatFit_areNotTornThoughThatTakesOneMore() {
    long[] seconds = {20, 20, 20, 20, 20, 20};
    int[] groups = {0, 0, 1, 1, 2, 2};

    assertThat(Cut.of(seconds, groups, 60, 2)).containsExactly(3, 6);
    assertThat(Cut.of(seconds, groups, 60, 3)).containsExactly(2, 4, 6);
  }

  @Test
  void of_manyThings_ends() {
    long[] seconds = new long[20_000];
    int[] groups = new int[seconds.length];
    for (int i = 0; i < seconds.length; i++) {
      seconds[i] = 20L + i % 60;
      groups[i] = i / 40;
    }

    int[] ends = Cut.of(seconds, groups, 2700, 1000);

    assertThat(ends[ends.length - 1]).isEqualTo(seconds.length);
  }
}
