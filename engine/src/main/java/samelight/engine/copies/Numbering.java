package samelight.engine.copies;

import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Holes in a camera's numbering. A DCF file name ends in four digits, 0001 to 9999, after four
 * letters, digits or underscores; after 9999 comes 0001 ([DCF]).
 */
final class Numbering {
  private static final Pattern NAME = Pattern.compile("[A-Za-z0-9_]{4}(\\d{4})");
  private static final int LAST = 9999;

  /** So near to the end and to the start of the numbers a step back is a roll-over. */
  private static final int NEAR = 1000;

  private Numbering() {}

  /**
   * A hole: numbers that are missing between two that are there.
   *
   * @param body the body's folder name
   * @param first first missing number, 1 to 9999
   * @param last last missing number, 1 to 9999; less than {@code first} across a roll-over
   * @param count how many
   * @param before number before the hole
   * @param after number after it
   */
  record Hole(String body, int first, int last, int count, int before, int after) {
    @Override
    public String toString() {
      return body
          + ": "
          + (count == 1
              ? String.format("%04d", first)
              : String.format("%04d to %04d (%d numbers)", first, last, count))
          + String.format(" missing between %04d and %04d", before, after)
          + ": deleted in camera, or on another card?";
    }
  }

  private record Shot(@Nullable LocalDateTime taken, String cardPath, int number) {}

  /** The number of a DCF name, or null where it isn't one or 0000. */
  static @Nullable Integer number(String path) {
    String name = path.substring(path.lastIndexOf('/') + 1);
    int dot = name.indexOf('.');
    Matcher m = NAME.matcher(dot < 0 ? name : name.substring(0, dot));
    if (!m.matches() || m.group(1).equals("0000")) {
      return null;
    }
    return Integer.valueOf(m.group(1));
  }

  /** The holes of every body, in the order of the shots. */
  static List<Hole> holes(Collection<CopyRecord> records) {
    Map<String, List<Shot>> bodies = new TreeMap<>();
    for (CopyRecord r : records) {
      Integer number = number(r.cardPath());
      String body = r.body();
      if (number != null && body != null) {
        bodies
            .computeIfAbsent(body, b -> new ArrayList<>())
            .add(new Shot(r.taken(), r.cardPath(), number));
      }
    }
    List<Hole> holes = new ArrayList<>();
    bodies.forEach((body, shots) -> holes.addAll(holes(body, shots)));
    return holes;
  }

  private static List<Hole> holes(String body, List<Shot> shots) {
    shots.sort(
        Comparator.comparing(
                Shot::taken, Comparator.nullsLast(Comparator.<LocalDateTime>naturalOrder()))
            .thenComparing(Shot::cardPath));
    List<Hole> holes = new ArrayList<>();
    TreeSet<Long> run = new TreeSet<>();
    long base = 0;
    long before = 0;
    for (Shot shot : shots) {
      long at = base + shot.number();
      if (at < before && before - base > LAST - NEAR && shot.number() <= NEAR) {
        base += LAST;
        at += LAST;
      } else if (at > before && base > 0 && at - before > LAST - NEAR) {
        at -= LAST; // a straggler from before the roll-over
      } else if (at < before - NEAR) {
        add(body, run, holes); // the counter was set back: another series
        run.clear();
        base = 0;
        at = shot.number();
      }
      run.add(at);
      before = Math.max(at, run.isEmpty() ? at : run.last());
    }
    add(body, run, holes);
    return holes;
  }

  private static void add(String body, SortedSet<Long> run, List<Hole> holes) {
    Long before = null;
    for (Long at : run) {
      if (before != null && at - before > 1) {
        int count = (int) (at - before - 1);
        holes.add(
            new Hole(
                body, wrapped(before + 1), wrapped(at - 1), count, wrapped(before), wrapped(at)));
      }
      before = at;
    }
  }

  private static int wrapped(long number) {
    return (int) ((number - 1) % LAST) + 1;
  }
}
