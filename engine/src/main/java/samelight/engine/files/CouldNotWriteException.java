package samelight.engine.files;

import org.jspecify.annotations.Nullable;

/** A file that could not be written. Exit status 4. */
public final class CouldNotWriteException extends ShootException {
  /**
   * @param file the file or folder
   * @param rule what should hold
   * @param actual what was found
   * @param next what to do next, a sentence, or empty
   */
  public CouldNotWriteException(String file, String rule, String actual, String next) {
    super(file, rule, actual, next, null);
  }

  /**
   * @param file the file or folder
   * @param rule what should hold
   * @param actual what was found
   * @param next what to do next, a sentence, or empty
   * @param cause the underlying exception, or null
   */
  public CouldNotWriteException(
      String file, String rule, String actual, String next, @Nullable Throwable cause) {
    super(file, rule, actual, next, cause);
  }
}
