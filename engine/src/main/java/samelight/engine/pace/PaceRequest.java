package samelight.engine.pace;

import java.time.Duration;
import java.time.LocalDate;
import java.util.List;

/**
 * What is to be planned.
 *
 * @param items what is left, in the order in which it is to be done; the items of a group are
 *     neighbours
 * @param from first day that there may be a sitting
 * @param due when the gallery is due; that day is kept for export and delivery
 * @param sitting longest sitting, a minute or more
 * @param days on which days
 * @param done the highest number of a sitting that was done before, or 0
 */
public record PaceRequest(
    List<Item> items, LocalDate from, LocalDate due, Duration sitting, Days days, int done) {
  /** The farthest that a due date may lie ahead, in days: five years. */
  public static final int FARTHEST_DAYS = 1827;

  /**
   * @throws IllegalArgumentException if the sitting is shorter than a minute or longer than a day,
   *     the due date lies too far ahead, or {@code done} is negative
   */
  public PaceRequest {
    items = List.copyOf(items);
    if (sitting.compareTo(Duration.ofMinutes(1)) < 0 || sitting.compareTo(Duration.ofDays(1)) > 0) {
      throw new IllegalArgumentException(
          "a sitting must last from 1 minute to 24 hours, was " + sitting);
    }
    if (due.isAfter(from.plusDays(FARTHEST_DAYS))) {
      throw new IllegalArgumentException(
          "the due date must be within five years of " + from + ", was " + due);
    }
    if (done < 0) {
      throw new IllegalArgumentException("the number of a sitting must be 0 or more, was " + done);
    }
  }
}
