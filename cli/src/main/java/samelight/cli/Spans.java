package samelight.cli;

import java.time.Duration;
import java.time.LocalDate;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Times and days as people write them. */
final class Spans {
  private static final Pattern SPAN =
      Pattern.compile("(?:(\\d{1,3})h)?(?:(\\d{1,4})(?:m|min)?)?", Pattern.CASE_INSENSITIVE);
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("EEE yyyy-MM-dd", Locale.ROOT);

  private Spans() {}

  /** Such as {@code 45m}, {@code 1h}, {@code 1h15m} or {@code 45}; null where it is none. */
  static @Nullable Duration parse(String text) {
    Matcher m = SPAN.matcher(text.strip());
    if (text.isBlank() || !m.matches()) {
      return null;
    }
    return Duration.ofHours(number(m.group(1))).plusMinutes(number(m.group(2)));
  }

  private static long number(@Nullable String digits) {
    return digits == null ? 0 : Long.parseLong(digits);
  }

  /** Such as {@code 3 h 20 min}, rounded up to minutes; below two minutes in seconds. */
  static String words(Duration time) {
    if (time.toSeconds() < 120) {
      double seconds = time.toMillis() / 1000.0;
      return seconds < 10 && seconds != Math.rint(seconds)
          ? String.format(Locale.ROOT, "%.1f s", seconds)
          : Math.round(seconds) + " s";
    }
    long minutes = minutes(time);
    if (minutes < 60) {
      return minutes + " min";
    }
    return minutes / 60 + " h" + (minutes % 60 == 0 ? "" : " " + minutes % 60 + " min");
  }

  /** Whole minutes, rounded up. */
  static long minutes(Duration time) {
    return (time.toSeconds() + 59) / 60;
  }

  /** Such as {@code Sat 2027-06-12}. */
  static String day(LocalDate day) {
    return DAY.format(day);
  }
}
