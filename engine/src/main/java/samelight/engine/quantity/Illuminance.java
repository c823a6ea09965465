package samelight.engine.quantity;

/**
 * An illuminance.
 *
 * @param lux more than 0, finite
 */
public record Illuminance(double lux) {
  /**
   * @throws IllegalArgumentException if the value isn't positive and finite
   */
  public Illuminance {
    Range.within("illuminance in lx", lux, Double.MIN_VALUE, Double.MAX_VALUE);
  }
}
