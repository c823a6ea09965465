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
    double rate = seconds > 0 ? done / seconds : 0;
    String what = step == Step.COPYING ? "copying" : "reading back";
    String line =
        String.format(
            Locale.ROOT,
            rate < 9.95e6 ? "%s %s of %s, %.1f MB/s" : "%s %s of %s, %.0f MB/s",
            what,
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
