package samelight.engine.pace;

import java.time.Duration;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Puts what is left into sittings. See {@link Cut} for how the row is cut. The sittings then stand
 * evenly on the possible days, the first of them on the first day, so that the slack lies at the
 * end, where a lost evening can still be made good.
 */
public final class Planner {
  /** The shortest sitting that is recommended (common practice, no source). */
  public static final Duration SHORTEST_ADVISED = Duration.ofMinutes(30);

  /**
   * The longest sitting that is recommended: work on a screen is to be interrupted [EU90270], a
   * break of 5 to 10 minutes after 50 to 60 minutes being better than a longer one later [HSE-L26].
   */
  public static final Duration LONGEST_ADVISED = Duration.ofMinutes(60);

  private static final int MOST_MINUTES = 24 * 60;

  private Planner() {}

  /** Plans. */
  public static PacePlan plan(PaceRequest request) {
    List<Item> items = request.items();
    List<LocalDate> days = request.days().between(request.from(), request.due());
    long[] seconds = items.stream().mapToLong(i -> Math.max(1, i.time().toSeconds())).toArray();
    int[] groups = groups(items);
    int[] ends = Cut.of(seconds, groups, request.sitting().toSeconds(), days.size());
    boolean enough = ends.length <= days.size();
    List<LocalDate> on = enough ? days : request.days().from(request.from(), ends.length);
    List<Sitting> sittings = new ArrayList<>();
    int late = 0;
    int torn = 0;
    int start = 0;
    for (int i = 0; i < ends.length; i++) {
      LocalDate day = on.get((int) ((long) i * on.size() / ends.length));
      late += day.isBefore(request.due()) ? 0 : 1;
      torn += start > 0 && groups[start - 1] == groups[start] ? 1 : 0;
      sittings.add(new Sitting(request.done() + i + 1, day, items.subList(start, ends[i])));
      start = ends[i];
    }
    PacePlan.Help help =
        enough ? null : help(seconds, days.size(), ends.length, on.get(on.size() - 1));
    return new PacePlan(sittings, days.size(), late, torn, help);
  }

  private static PacePlan.Help help(long[] seconds, int days, int needed, LocalDate last) {
    return new PacePlan.Help(shortest(seconds, days), needed - days, last.plusDays(1));
  }

  /** The shortest sitting with which these days are enough; fewer are needed the longer it is. */
  private static @Nullable Duration shortest(long[] seconds, int days) {
    if (days == 0 || Cut.fewest(seconds, MOST_MINUTES * 60L) > days) {
      return null;
    }
    int low = 1;
    int high = MOST_MINUTES;
    while (low < high) {
      int middle = (low + high) / 2;
      if (Cut.fewest(seconds, middle * 60L) <= days) {
        high = middle;
      } else {
        low = middle + 1;
      }
    }
    return Duration.ofMinutes(low);
  }

  /** Neighbours of one group of one section have one number. */
  private static int[] groups(List<Item> items) {
    int[] groups = new int[items.size()];
    for (int i = 1; i < groups.length; i++) {
      Item before = items.get(i - 1);
      Item item = items.get(i);
      boolean same =
          item.section().equals(before.section())
              && item.group().equals(before.group())
              && !item.group().isEmpty();
      groups[i] = groups[i - 1] + (same ? 0 : 1);
    }
    return groups;
  }
}
