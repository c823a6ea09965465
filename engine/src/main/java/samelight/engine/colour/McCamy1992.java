package samelight.engine.colour;

import samelight.engine.quantity.Kelvin;

/**
 * Colour temperature by McCamy's cubic ([MCCAMY92]), within 2 K of the definition from 2856 to 6500
 * K near the Planckian locus.
 *
 * <p>Symbols: n = (x - x_e)/(y - y_e) with the epicentre (0.3320, 0.1858). The paper's n has the
 * sign of its denominator; here the polynomial's odd coefficients take it as written.
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
