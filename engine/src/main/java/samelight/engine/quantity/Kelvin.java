package samelight.engine.quantity;

/**
 * A correlated colour temperature.
 *
 * @param value kelvin, 500 to 1,000,000
 */
public record Kelvin(double value) implements Comparable<Kelvin> {
  /** Lowest value that is taken. */
  public static final double MIN = 500;

  /** Highest value that is taken. */
  public static final double MAX = 1_000_000;

  /**
   * @throws IllegalArgumentException if {@code value} is out of range
   */
  public Kelvin {
    Range.within("colour temperature in kelvin", value, MIN, MAX);
  }

  /** The reciprocal colour temperature, 10<sup>6</sup>/T. */
  public Mired toMired() {
    return new Mired(1e6 / value);
  }

  @Override
  public int compareTo(Kelvin other) {
    return Double.compare(value, other.value);
  }
}
