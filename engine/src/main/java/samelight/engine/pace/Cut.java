package samelight.engine.pace;

import java.util.Arrays;

/**
 * Cuts a row of things into sittings, exactly. A sitting is a run of neighbours that together take
 * no longer than the limit, or one thing alone. Of all ways to cut the row into at most so many
 * sittings: first those that tear the fewest groups, then those with the fewest sittings, then the
 * one whose sittings' times have the least sum of squares, which for a given number of sittings is
 * the least variance.
 *
 * <p>Dynamic programming over (sittings so far, things so far). Both costs add up over sittings, so
 * that their lexicographic order survives the sum, and the best of a prefix is part of the best of
 * the whole. With n things, k sittings and at most w things in one: time O(n k w), memory O(n k).
 */
final class Cut {
  private static final long NEVER = Long.MAX_VALUE;

  private final long[] sums;
  private final int[] groups;
  private final long limit;

  private Cut(long[] seconds, int[] groups, long limit) {
    this.sums = new long[seconds.length + 1];
    for (int i = 0; i < seconds.length; i++) {
      sums[i + 1] = sums[i] + seconds[i];
    }
    this.groups = groups;
    this.limit = limit;
  }

  /**
   * Where to cut.
   *
   * @param seconds time of each thing, in order, each above 0
   * @param groups number of each thing's group; a group's things are neighbours
   * @param limit longest sitting, in seconds
   * @param most sittings that there are days for; where these are too few it is cut into the fewest
   *     that the limit allows
   * @return for each sitting the index after its last thing
   */
  static int[] of(long[] seconds, int[] groups, long limit, int most) {
    if (seconds.length == 0) {
      return new int[0];
    }
    Cut cut = new Cut(seconds, groups, limit);
    int fewest = cut.fewest(0, seconds.length);
    int enough = Math.max(fewest, Math.min(most, cut.withoutTearing()));
    return cut.best(fewest, enough);
  }

  /** The fewest sittings that the limit allows. */
  static int fewest(long[] seconds, long limit) {
    return new Cut(seconds, new int[seconds.length], limit).fewest(0, seconds.length);
  }

  /** Filling each sitting as far as it goes takes the fewest, since the order is given. */
  private int fewest(int from, int to) {
    int count = 0;
    for (int i = from; i < to; count++) {
      i = end(i, to);
    }
    return count;
  }

  /** The index after the last thing of the longest sitting that starts here. */
  private int end(int from, int to) {
    int end = from + 1;
    while (end < to && sums[end + 1] - sums[from] <= limit) {
      end++;
    }
    return end;
  }

  /** So many sittings are enough to tear no group but those that are too long for one. */
  private int withoutTearing() {
    int count = 0;
    long free = 0;
    for (int i = 0; i < groups.length; ) {
      int end = i + 1;
      while (end < groups.length && groups[end] == groups[i]) {
        end++;
      }
      long whole = sums[end] - sums[i];
      if (whole <= free) {
        free -= whole;
      } else {
        int parts = fewest(i, end);
        count += parts;
        free = parts == 1 ? Math.max(0, limit - whole) : 0;
      }
      i = end;
    }
    return count;
  }

  private int[] best(int fewest, int most) {
    int n = groups.length;
    int[][] from = new int[most + 1][n + 1];
    long[] tears = new long[n + 1];
    long[] squares = new long[n + 1];
    Arrays.fill(tears, NEVER);
    tears[0] = 0;
    int chosen = fewest;
    long fewestTears = NEVER;
    for (int k = 1; k <= most; k++) {
      long[] tearsNow = new long[n + 1];
      long[] squaresNow = new long[n + 1];
      Arrays.fill(tearsNow, NEVER);
      for (int end = k; end <= n; end++) {
        for (int start = end - 1; start >= k - 1; start--) {
          long time = sums[end] - sums[start];
          if (time > limit && end - start > 1) {
            break;
          }
          if (tears[start] == NEVER) {
            continue;
          }
          boolean torn = start > 0 && groups[start - 1] == groups[start];
          long t = tears[start] + (torn ? 1 : 0);
          long s = squares[start] + time * time;
          if (t < tearsNow[end] || (t == tearsNow[end] && s < squaresNow[end])) {
            tearsNow[end] = t;
            squaresNow[end] = s;
            from[k][end] = start;
          }
        }
      }
      tears = tearsNow;
      squares = squaresNow;
      if (tears[n] < fewestTears) {
        fewestTears = tears[n];
        chosen = k;
      }
    }
    int[] ends = new int[chosen];
    int end = n;
    for (int k = chosen; k >= 1; k--) {
      ends[k - 1] = end;
      end = from[k][end];
    }
    return ends;
  }
}
