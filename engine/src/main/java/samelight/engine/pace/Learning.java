package samelight.engine.pace;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * Learns from save times how long things take. People work in the raw editor, where no journal sees
 * them; what is seen is when the editor saved which sidecar.
 *
 * <p>Saves within two seconds are one moment, since an editor saves a selection at once. Moments
 * that follow each other within ten minutes belong to one sitting. A moment at which one thing was
 * saved says how long it took: the time since the moment before. A moment with several things says
 * nothing. Of frames that were touched in passing, the frames that lie between two of them in the
 * order of the day were looked through in that time. A kind of task of which five times or more are
 * known takes their median, else its first guess. Limits: common practice, no source.
 */
public final class Learning {
  /** So many times make a median worth more than a first guess. */
  public static final int ENOUGH = 5;

  private static final Duration ONE_MOMENT = Duration.ofSeconds(2);
  private static final Duration PAUSE = Duration.ofMinutes(10);
  private static final Duration LEAST = Duration.ofMillis(500);

  private Learning() {}

  /**
   * One save, and what it means.
   *
   * @param thing what was saved, the same for all frames of one framing
   * @param task what kind of task it is
   * @param place place of the frame in the order of the day
   * @param at when it was saved
   */
  public record Save(String thing, Task task, int place, Instant at) {}

  /**
   * A sitting that the save times show.
   *
   * @param from first save
   * @param to last save
   * @param references references saved, each once
   * @param framings framings that need eyes saved, each once
   * @param frames other frames saved, each once
   */
  public record Seen(Instant from, Instant to, int references, int framings, int frames) {}

  private record Moment(Instant from, Instant to, List<Save> saves) {
    int things() {
      return things(null);
    }

    int things(@org.jspecify.annotations.Nullable Task task) {
      Set<String> things = new HashSet<>();
      saves.stream()
          .filter(s -> task == null || s.task() == task)
          .forEach(s -> things.add(s.thing()));
      return things.size();
    }
  }

  /**
   * How long each kind of task takes.
   *
   * @param saves in any order
   */
  public static Map<Task, Rate> rates(List<Save> saves) {
    Map<Task, List<Duration>> times = new EnumMap<>(Task.class);
    for (Task task : Task.values()) {
      times.put(task, new ArrayList<>());
    }
    for (List<Moment> sitting : sittings(saves)) {
      for (int i = 1; i < sitting.size(); i++) {
        measure(sitting.get(i - 1), sitting.get(i), times);
      }
    }
    Map<Task, Rate> rates = new EnumMap<>(Task.class);
    times.forEach(
        (task, known) ->
            rates.put(
                task,
                known.size() < ENOUGH
                    ? new Rate(task.firstGuess(), known.size(), false)
                    : new Rate(median(known), known.size(), true)));
    return rates;
  }

  /** Sittings with two moments or more, in order. */
  public static List<Seen> seen(List<Save> saves) {
    List<Seen> seen = new ArrayList<>();
    for (List<Moment> sitting : sittings(saves)) {
      if (sitting.size() > 1) {
        Instant from = sitting.get(0).from();
        Instant to = sitting.get(sitting.size() - 1).to();
        List<Save> all = sitting.stream().flatMap(m -> m.saves().stream()).toList();
        Moment whole = new Moment(from, to, all);
        seen.add(
            new Seen(
                from,
                to,
                whole.things(Task.REFERENCE),
                whole.things(Task.EYES),
                whole.things(Task.LOOK)));
      }
    }
    return seen;
  }

  private static void measure(Moment before, Moment now, Map<Task, List<Duration>> times) {
    if (now.things() != 1) {
      return;
    }
    Save save = now.saves().get(0);
    Duration took = Duration.between(before.to(), now.from());
    if (save.task() == Task.LOOK) {
      if (before.things() != 1 || before.saves().get(0).task() != Task.LOOK) {
        return;
      }
      int passed = save.place() - before.saves().get(0).place();
      if (passed < 1) {
        return;
      }
      took = took.dividedBy(passed);
    }
    if (took.compareTo(LEAST) >= 0) {
      times.computeIfAbsent(save.task(), t -> new ArrayList<>()).add(took);
    }
  }

  private static List<List<Moment>> sittings(List<Save> saves) {
    List<Save> ordered = new ArrayList<>(saves);
    ordered.sort(java.util.Comparator.comparing(Save::at).thenComparing(Save::thing));
    List<Moment> moments = new ArrayList<>();
    for (int i = 0; i < ordered.size(); ) {
      int end = i + 1;
      while (end < ordered.size()
          && within(ordered.get(end - 1).at(), ordered.get(end).at(), ONE_MOMENT)) {
        end++;
      }
      List<Save> own = ordered.subList(i, end);
      moments.add(new Moment(own.get(0).at(), own.get(own.size() - 1).at(), List.copyOf(own)));
      i = end;
    }
    List<List<Moment>> sittings = new ArrayList<>();
    Moment last = null;
    for (Moment moment : moments) {
      if (last == null || !within(last.to(), moment.from(), PAUSE)) {
        sittings.add(new ArrayList<>());
      }
      sittings.get(sittings.size() - 1).add(moment);
      last = moment;
    }
    return sittings;
  }

  private static boolean within(Instant from, Instant to, Duration most) {
    return Duration.between(from, to).compareTo(most) <= 0;
  }

  private static Duration median(List<Duration> times) {
    List<Duration> sorted = new ArrayList<>(times);
    Collections.sort(sorted);
    int n = sorted.size();
    return n % 2 == 1
        ? sorted.get(n / 2)
        : sorted.get(n / 2 - 1).plus(sorted.get(n / 2)).dividedBy(2);
  }
}
