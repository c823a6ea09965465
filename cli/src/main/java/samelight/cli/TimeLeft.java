package samelight.cli;

import java.util.Locale;

/** How long the rest of a long step will take, from how long what is done took. */
final class TimeLeft {
  /** Seconds after which a rate says something of the time left: the first files open slowly. */
  private static final double SETTLED = 3;

  private TimeLeft() {}

  /**
   * Such as {@code ", 1:05 left"}; empty where nothing can be told yet.
   *
   * @param done of the total, in any unit
   * @param seconds that it took
   */
  static String text(long done, long total, double seconds) {
    if (done <= 0 || done > total || seconds < SETTLED) {
      return "";
    }
    long left = Math.round((total - done) * seconds / done);
    return left >= 3600
        ? String.format(Locale.ROOT, ", %d:%02d:%02d left", left / 3600, left / 60 % 60, left % 60)
        : String.format(Locale.ROOT, ", %d:%02d left", left / 60, left % 60);
  }
}
