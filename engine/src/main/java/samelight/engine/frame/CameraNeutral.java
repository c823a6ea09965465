package samelight.engine.frame;

/**
 * What a body's sensor gives for a white surface in the light it was set to, relative to green: the
 * reciprocal of white-balance multipliers. Comparable between frames of one body only.
 *
 * @param red red over green, more than 0
 * @param blue blue over green, more than 0
 */
public record CameraNeutral(double red, double blue) {
  /**
   * @throws IllegalArgumentException if a ratio isn't within 0.001 and 1000
   */
  public CameraNeutral {
    if (!(red >= 1e-3 && red <= 1e3 && blue >= 1e-3 && blue <= 1e3)) {
      throw new IllegalArgumentException(
          "camera neutral ratios must lie within 0.001 and 1000, were " + red + " and " + blue);
    }
  }
}
