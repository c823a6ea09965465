package samelight.engine.hevc;

import java.io.IOException;

/** A stream that is broken, or uses what isn't decoded. */
public final class HevcException extends IOException {
  private final String rule;
  private final String actual;

  HevcException(String rule, String actual) {
    super(rule + "; found " + actual);
    this.rule = rule;
    this.actual = actual;
  }

  /** What should hold. */
  public String rule() {
    return rule;
  }

  /** What was found instead. */
  public String actual() {
    return actual;
  }

  /** Refuses a value outside its range. */
  static int within(String what, long value, int least, int most) throws HevcException {
    if (value < least || value > most) {
      throw new HevcException(what + " from " + least + " to " + most, Long.toString(value));
    }
    return (int) value;
  }

  /** Refuses a tool that isn't decoded. */
  static void without(boolean used, String tool) throws HevcException {
    if (used) {
      throw new HevcException("an HEVC picture that is decoded", tool);
    }
  }
}
