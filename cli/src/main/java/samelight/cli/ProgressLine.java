package samelight.cli;

import java.util.Locale;

/**
 * One line on the terminal that says how far a long step is, how fast it goes, and how long the
 * rest will take; nothing where nobody watches.
 */
final class ProgressLine implements AutoCloseable {
  private static final long PAUSE_NANOS = 100_000_000;

  private final Terminal terminal;
  private final String what;
  private long next;
  private long began;
  private int before = -1;
  private int width;

  ProgressLine(Terminal terminal, String what) {
    this.terminal = terminal;
    this.what = what;
    this.next = System.nanoTime() + PAUSE_NANOS;
  }

  /** Called from any thread, one at a time. */
  synchronized void at(int done, int total) {
    long time = System.nanoTime();
    if (before < 0) {
      began = time;
      before = done;
    }
    if (!terminal.progress() || time < next) {
      return;
    }
    next = time + PAUSE_NANOS;
    String line = text(what, done, total, done - before, (time - began) * 1e-9);
    width = Math.max(width, line.length());
    terminal.err().print("\r" + line + " ".repeat(width - line.length()));
    terminal.err().flush();
  }

  /**
   * The line.
   *
   * @param lately how many were done in these seconds
   */
  static String text(String what, int done, int total, int lately, double seconds) {
    String line = String.format(Locale.ROOT, "%s %,d of %,d", what, done, total);
    String left = TimeLeft.text(lately, (long) lately + total - done, seconds);
    return left.isEmpty()
        ? line
        : line
            + String.format(
                Locale.ROOT,
                lately / seconds < 10 ? ", %.1f a second" : ", %.0f a second",
                lately / seconds)
            + left;
  }

  /** Takes the line away. */
  @Override
  public synchronized void close() {
    if (width > 0) {
      terminal.err().print("\r" + " ".repeat(width) + "\r");
      terminal.err().flush();
      width = 0;
    }
  }
}
