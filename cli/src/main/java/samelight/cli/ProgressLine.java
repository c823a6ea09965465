package samelight.cli;

import java.util.Locale;

/**
 * One line on the terminal that says how far a long step is, how fast it goes, and how long the
 * rest will take; nothing where nobody watches.
 */
final class ProgressLine implements AutoCloseable {
  private final WatchedLine line;
  private String what;
  private long began = System.nanoTime();
  private int before = -1;

  ProgressLine(Terminal terminal, String what) {
    this.line = new WatchedLine(terminal);
    this.what = what;
  }

  /** Called from any thread, one at a time. */
  synchronized void at(int done, int total) {
    long time = System.nanoTime();
    if (before < 0) {
      began = time;
      before = done;
    }
    if (line.isDue(time)) {
      line.show(text(what, done, total, done - before, (time - began) * 1e-9));
    }
  }

  /** The same where bytes say how far it is. */
  synchronized void at(int done, int total, long bytes, long allBytes) {
    long time = System.nanoTime();
    if (line.isDue(time)) {
      String count = String.format(Locale.ROOT, "%s %,d of %,d, ", what, done, total);
      line.show(count + BytesLine.text(bytes, allBytes, (time - began) * 1e-9));
    }
  }

  /** The same for a step that may be another than before; its rate counts from its beginning. */
  synchronized void at(String step, int done, int total) {
    if (!step.equals(what)) {
      what = step;
      before = -1;
    }
    at(done, total);
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
    line.close();
  }
}
