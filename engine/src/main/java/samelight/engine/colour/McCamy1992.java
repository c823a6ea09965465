package samelight.engine.colour;

import samelight.engine.quantity.Kelvin;

/**
 * Colour temperature by McCamy's cubic ([MCCAMY92]). Against the definition it is within 2 K for
 * daylight and within 10.1 K on the Planckian locus from 2856 to 6500 K (computed).
 *
 * <p>Symbols: n = (x - x_e)/(y - y_e) with the epicentre (0.3320, 0.1858). The paper divides by y_e
 * - y; here the odd coefficients carry that sign.
 */
public final class McCamy1992 {
  private McCamy1992() {}

  /**
   * The correlated colour temperature.
   *
   * @throws IllegalArgumentException if the cubic gives no temperature, far from white
   */
  public static Kelvin cct(Chromaticity white) {
    double n = (white.x() - 0.3320) / (white.y() - 0.1858);
    return new Kelvin(((-449 * n + 3525) * n - 6823.3) * n + 5520.33);
  }
}
