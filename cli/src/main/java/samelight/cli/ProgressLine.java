package samelight.cli;

import java.util.Locale;

/** One line on the terminal that says how far a long step is; nothing where nobody watches. */
final class ProgressLine implements AutoCloseable {
  private static final long PAUSE_NANOS = 100_000_000;

  private final Terminal terminal;
  private final String what;
  private long next;
  private int width;

  ProgressLine(Terminal terminal, String what) {
    this.terminal = terminal;
    this.what = what;
    this.next = System.nanoTime() + PAUSE_NANOS;
  }

  /** Called from any thread, one at a time. */
  synchronized void at(int done, int total) {
    if (!terminal.progress() || System.nanoTime() < next) {
      return;
    }
    next = System.nanoTime() + PAUSE_NANOS;
    String line = String.format(Locale.ROOT, "%s %,d of %,d", what, done, total);
    width = Math.max(width, line.length());
    terminal.err().print("\r" + line + " ".repeat(width - line.length()));
    terminal.err().flush();
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
