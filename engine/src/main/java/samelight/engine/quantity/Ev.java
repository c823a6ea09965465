package samelight.engine.quantity;

/**
 * A number of stops: an exposure value at ISO 100 (EV100), or a difference of two. One stop is a
 * factor of two of light; more is brighter light (exposure value) or a brighter rendering
 * (compensation).
 *
 * @param stops any finite number, in EV
 */
public record Ev(double stops) implements Comparable<Ev> {
  /** No difference. */
  public static final Ev ZERO = new Ev(0);

  /**
   * @throws IllegalArgumentException if {@code stops} isn't finite
   */
  public Ev {
    Range.finite("stops", stops);
    stops = stops + 0.0; // -0.0 becomes 0.0, so that equal values are equal records
  }

  /** The sum. */
  public Ev plus(Ev other) {
    return new Ev(stops + other.stops);
  }

  /** The difference: this minus {@code other}. */
  public Ev minus(Ev other) {
    return new Ev(stops - other.stops);
  }

  /** The same amount the other way. */
  public Ev negated() {
    return new Ev(-stops);
  }

  @Override
  public int compareTo(Ev other) {
    return Double.compare(stops, other.stops);
  }
}
