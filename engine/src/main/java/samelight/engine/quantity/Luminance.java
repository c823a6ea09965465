package samelight.engine.quantity;

/**
 * A scene luminance.
 *
 * @param candelasPerSquareMetre more than 0, finite
 */
public record Luminance(double candelasPerSquareMetre) {
  /**
   * @throws IllegalArgumentException if the value isn't positive and finite
   */
  public Luminance {
    Range.within("luminance in cd/m²", candelasPerSquareMetre, Double.MIN_VALUE, Double.MAX_VALUE);
  }
}
