package samelight.engine.quantity;

/**
 * A photographic sensitivity as marked, arithmetic scale ([ISO12232]).
 *
 * @param value 1 to 100,000,000
 */
public record Iso(double value) {
  /**
   * @throws IllegalArgumentException if {@code value} is out of range
   */
  public Iso {
    Range.within("ISO sensitivity", value, 1, 1e8);
  }

  /** Stops above ISO 100: log2(S/100). */
  public double stopsAbove100() {
    return Math.log(value / 100) / Math.log(2);
  }
}
