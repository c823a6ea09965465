package samelight.engine.keepers;

import java.time.LocalDateTime;

/**
 * A picture that was asked for: frames of that time are not proposed out.
 *
 * @param text what, in the photographer's words
 * @param from shoot time
 * @param to shoot time, not before {@code from}
 */
public record MustHave(String text, LocalDateTime from, LocalDateTime to) {
  /**
   * @throws IllegalArgumentException if the text is blank or the span ends before it begins
   */
  public MustHave {
    if (text.isBlank()) {
      throw new IllegalArgumentException("a must-have needs words, was \"" + text + "\"");
    }
    if (to.isBefore(from)) {
      throw new IllegalArgumentException(
          "a must-have must not end before it begins, was " + from + " to " + to);
    }
  }
}
