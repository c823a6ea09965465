package samelight.engine.quantity;

/**
 * A reciprocal colour temperature in micro reciprocal degrees, 10<sup>6</sup>/T, or a difference of
 * two. Equal steps in mired look about equally large at any temperature ([JUDD33]); more is warmer
 * light.
 *
 * @param value mired, any finite number (differences may be negative)
 */
public record Mired(double value) implements Comparable<Mired> {
  /** No difference. */
  public static final Mired ZERO = new Mired(0);

  /**
   * @throws IllegalArgumentException if {@code value} isn't finite
   */
  public Mired {
    Range.finite("mired", value);
    value = value + 0.0;
  }

  /** The sum. */
  public Mired plus(Mired other) {
    return new Mired(value + other.value);
  }

  /** The difference: this minus {@code other}. */
  public Mired minus(Mired other) {
    return new Mired(value - other.value);
  }

  /**
   * The colour temperature of this absolute value.
   *
   * @throws IllegalArgumentException if it has none, being zero, negative or out of range
   */
  public Kelvin toKelvin() {
    return new Kelvin(1e6 / Range.within("absolute mired", value, 1, 2000));
  }

  @Override
  public int compareTo(Mired other) {
    return Double.compare(value, other.value);
  }
}
