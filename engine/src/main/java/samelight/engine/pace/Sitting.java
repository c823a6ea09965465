package samelight.engine.pace;

import java.time.Duration;
import java.time.LocalDate;
import java.util.List;

/**
 * One sitting.
 *
 * @param number from 1, those that were done counted
 * @param on its day
 * @param items what to do, in order; never empty
 */
public record Sitting(int number, LocalDate on, List<Item> items) {
  /**
   * @throws IllegalArgumentException if there is nothing to do, or the number is below 1
   */
  public Sitting {
    items = List.copyOf(items);
    if (items.isEmpty() || number < 1) {
      throw new IllegalArgumentException(
          "a sitting must have a number from 1 and something to do, was number "
              + number
              + " with "
              + items.size());
    }
  }

  /** How long it takes. */
  public Duration time() {
    return items.stream().map(Item::time).reduce(Duration.ZERO, Duration::plus);
  }
}
