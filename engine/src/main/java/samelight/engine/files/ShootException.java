package samelight.engine.files;

import org.jspecify.annotations.Nullable;

/**
 * Something about a file that stops the work. The message holds the file, the rule, the actual
 * value and what to do next.
 */
public abstract sealed class ShootException extends RuntimeException
    permits RefusedInputException, CouldNotWriteException {
  private final String file;
  private final String rule;
  private final String actual;
  private final String next;

  ShootException(String file, String rule, String actual, String next, @Nullable Throwable cause) {
    super(file + ": " + rule + "; found " + actual + (next.isEmpty() ? "" : ". " + next), cause);
    this.file = file;
    this.rule = rule;
    this.actual = actual;
    this.next = next;
  }

  /** The file or folder it is about. */
  public String file() {
    return file;
  }

  /** What should hold. */
  public String rule() {
    return rule;
  }

  /** What was found instead. */
  public String actual() {
    return actual;
  }

  /** What to do next, a sentence; empty where nothing can be said. */
  public String next() {
    return next;
  }
}
