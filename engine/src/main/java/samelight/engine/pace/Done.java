package samelight.engine.pace;

import java.time.LocalDate;
import java.util.List;

/**
 * A sitting that was done, as the photographer stated.
 *
 * @param number its number
 * @param on the day
 * @param items what was done in it
 */
public record Done(int number, LocalDate on, List<Item> items) {
  /** Copies its list. */
  public Done {
    items = List.copyOf(items);
  }
}
