package samelight.cli;

import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.temporal.ChronoUnit;
import org.jspecify.annotations.Nullable;
import samelight.engine.store.Plan;
import samelight.engine.timeline.Section;

/** When a gallery is due. */
final class DueDate {
  /** Days from the shoot to its gallery, where nothing was agreed (common practice, no source). */
  static final int DAYS = 30;

  private DueDate() {}

  /**
   * The last day of a shoot by its own time, or null where no frame has a time. A night that ends
   * before six belongs to the day before.
   */
  static @Nullable LocalDate shootDay(Plan plan) {
    LocalDate last = null;
    for (Section s : plan.sections()) {
      LocalDateTime to = s.to();
      if (to != null) {
        LocalDate day = to.minusHours(6).toLocalDate();
        last = last == null || day.isAfter(last) ? day : last;
      }
    }
    return last;
  }

  /** Such as {@code in 12 days}. */
  static String away(LocalDate today, LocalDate due) {
    long days = ChronoUnit.DAYS.between(today, due);
    if (days == 0) {
      return "today";
    }
    String count = Math.abs(days) + (Math.abs(days) == 1 ? " day" : " days");
    return days > 0 ? "in " + count : count + " ago";
  }
}
