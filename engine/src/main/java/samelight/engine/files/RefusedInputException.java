package samelight.engine.files;

import org.jspecify.annotations.Nullable;

/**
 * An input that can't be read, or that is refused; nothing was written because of it. Exit status
 * 3.
 */
public final class RefusedInputException extends ShootException {
  /**
   * @param file the file or folder
   * @param rule what should hold
   * @param actual what was found
   * @param next what to do next, a sentence, or empty
   */
  public RefusedInputException(String file, String rule, String actual, String next) {
    super(file, rule, actual, next, null);
  }

  /**
   * @param file the file or folder
   * @param rule what should hold
   * @param actual what was found
   * @param next what to do next, a sentence, or empty
   * @param cause the underlying exception, or null
   */
  public RefusedInputException(
      String file, String rule, String actual, String next, @Nullable Throwable cause) {
    super(file, rule, actual, next, cause);
  }
}
