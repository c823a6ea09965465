package samelight.engine.pace;

import java.time.Duration;
import java.time.LocalDate;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Sittings up to the due date.
 *
 * @param sittings in order; those that find no day before the due date stand after it
 * @param days days on which there may be a sitting before the due date
 * @param late how many sittings stand on the due date or after it; 0 where all is done in time
 * @param torn how many times a group is split between two sittings
 * @param help what would help where it is not done in time
 */
public record PacePlan(List<Sitting> sittings, int days, int late, int torn, @Nullable Help help) {
  /** Copies its list. */
  public PacePlan {
    sittings = List.copyOf(sittings);
  }

  /**
   * Each of these alone would do.
   *
   * @param sitting the shortest sitting, in whole minutes, with which it would be done in time, or
   *     null where none of up to 24 hours would do
   * @param days how many more days for sittings there must be before the due date
   * @param due the earliest due date that would do
   */
  public record Help(@Nullable Duration sitting, int days, LocalDate due) {}

  /** Whether all is done in time. */
  public boolean feasible() {
    return late == 0;
  }

  /** Time of all sittings. */
  public Duration time() {
    return sittings.stream().map(Sitting::time).reduce(Duration.ZERO, Duration::plus);
  }

  /** Time of the sittings that come too late. */
  public Duration lateTime() {
    return sittings.subList(sittings.size() - late, sittings.size()).stream()
        .map(Sitting::time)
        .reduce(Duration.ZERO, Duration::plus);
  }
}
