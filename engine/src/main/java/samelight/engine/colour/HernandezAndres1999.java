package samelight.engine.colour;

import samelight.engine.quantity.Kelvin;

/**
 * Colour temperature by the sum of exponentials of Hern&aacute;ndez-Andr&eacute;s, Lee and Romero
 * ([HERNANDEZ99]), for daylight and skylight from 3000 to 800,000 K; below it strays (8 mired at
 * illuminant A).
 *
 * <p>Symbols: n = (x - x_e)/(y - y_e); a second epicentre and sum take over above 50,000 K.
 */
public final class HernandezAndres1999 {
  private HernandezAndres1999() {}

  /**
   * The correlated colour temperature.
   *
   * @throws IllegalArgumentException if the sum gives no temperature, far from white
   */
  public static Kelvin cct(Chromaticity white) {
    double n = (white.x() - 0.3366) / (white.y() - 0.1735);
    double t =
        -949.86315
            + 6253.80338 * Math.exp(-n / 0.92159)
            + 28.70599 * Math.exp(-n / 0.20039)
            + 0.00004 * Math.exp(-n / 0.07125);
    if (t > 50_000) {
      n = (white.x() - 0.3356) / (white.y() - 0.1691);
      t = 36284.48953 + 0.00228 * Math.exp(-n / 0.07861) + 5.4535e-36 * Math.exp(-n / 0.01543);
    }
    return new Kelvin(t);
  }
}
