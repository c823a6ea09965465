package samelight.cli;

/** A line on the terminal that is written over again and again; nothing where nobody watches. */
final class WatchedLine implements AutoCloseable {
  private static final long PAUSE_NANOS = 100_000_000;

  private final Terminal terminal;
  private long next = System.nanoTime() + PAUSE_NANOS;
  private int width;

  WatchedLine(Terminal terminal) {
    this.terminal = terminal;
  }

  /** Whether it is time to show something, by {@link System#nanoTime()}. */
  boolean isDue(long time) {
    return terminal.progress() && time - next >= 0;
  }

  /** Shows a text in place of the one before. */
  void show(String text) {
    next = System.nanoTime() + PAUSE_NANOS;
    width = Math.max(width, text.length());
    terminal.err().print("\r" + text + " ".repeat(width - text.length()));
    terminal.err().flush();
  }

  /** Takes the line away. */
  @Override
  public void close() {
    if (width > 0) {
      terminal.err().print("\r" + " ".repeat(width) + "\r");
      terminal.err().flush();
      width = 0;
    }
  }
}
