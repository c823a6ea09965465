package samelight.cli;

import java.util.Locale;
import samelight.engine.copies.ByteCount;
import samelight.engine.copies.CopyProgress;

/**
 * One line on the terminal that says how many bytes are done, how fast, and how long the rest will
 * take; nothing where nobody watches.
 */
final class BytesLine implements CopyProgress, AutoCloseable {
  private final WatchedLine line;
  private Step step = Step.COPYING;
  private long began = System.nanoTime();

  BytesLine(Terminal terminal) {
    this.line = new WatchedLine(terminal);
  }

  @Override
  public synchronized void at(Step now, long done, long total) {
    long time = System.nanoTime();
    if (now != step) {
      step = now;
      began = time;
    }
    if (line.isDue(time)) {
      line.show(text(step, done, total, (time - began) * 1e-9));
    }
  }

  static String text(Step step, long done, long total, double seconds) {
    return (step == Step.COPYING ? "copying " : "reading back ") + text(done, total, seconds);
  }

  /** Such as {@code 4.2 GB of 64.0 GB, 120 MB/s, 8:18 left}. */
  static String text(long done, long total, double seconds) {
    double rate = seconds > 0 ? done / seconds : 0;
    String line =
        String.format(
            Locale.ROOT,
            rate < 9.95e6 ? "%s of %s, %.1f MB/s" : "%s of %s, %.0f MB/s",
            ByteCount.text(done),
            ByteCount.text(total),
            rate / 1e6);
    return line + TimeLeft.text(done, total, seconds);
  }

  /** Takes the line away. */
  @Override
  public synchronized void close() {
    line.close();
  }
}
