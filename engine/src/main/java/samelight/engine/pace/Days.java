package samelight.engine.pace;

import java.time.DayOfWeek;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;

/**
 * On which days there may be a sitting.
 *
 * @param on days of the week, one or more
 * @param off days off
 */
public record Days(Set<DayOfWeek> on, SortedSet<LocalDate> off) {
  /** Every day. */
  public static final Days ALL = new Days(EnumSet.allOf(DayOfWeek.class), new TreeSet<>());

  /**
   * @throws IllegalArgumentException if there is no day of the week
   */
  public Days {
    if (on.isEmpty()) {
      throw new IllegalArgumentException("there must be one day of the week or more, was none");
    }
    on = java.util.Collections.unmodifiableSet(EnumSet.copyOf(on));
    off = java.util.Collections.unmodifiableSortedSet(new TreeSet<>(off));
  }

  /** Whether there may be a sitting on that day. */
  public boolean has(LocalDate day) {
    return on.contains(day.getDayOfWeek()) && !off.contains(day);
  }

  /** The days from the first, which counts, to the last, which doesn't. */
  List<LocalDate> between(LocalDate first, LocalDate end) {
    List<LocalDate> days = new ArrayList<>();
    for (LocalDate day = first; day.isBefore(end); day = day.plusDays(1)) {
      if (has(day)) {
        days.add(day);
      }
    }
    return days;
  }

  /** So many days, the first of them not before the given one. */
  List<LocalDate> from(LocalDate first, int count) {
    List<LocalDate> days = new ArrayList<>();
    for (LocalDate day = first; days.size() < count; day = day.plusDays(1)) {
      if (has(day)) {
        days.add(day);
      }
    }
    return days;
  }
}
