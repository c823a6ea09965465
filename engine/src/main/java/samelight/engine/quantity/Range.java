package samelight.engine.quantity;

/** Range checks shared by the quantities; the message is the rule and the actual value. */
final class Range {
  private Range() {}

  static double finite(String what, double value) {
    if (!Double.isFinite(value)) {
      throw new IllegalArgumentException(what + " must be a finite number, was " + value);
    }
    return value;
  }

  static double within(String what, double value, double low, double high) {
    if (!(value >= low && value <= high)) {
      throw new IllegalArgumentException(
          what + " must lie within " + low + " and " + high + ", was " + value);
    }
    return value;
  }
}
