package samelight.engine.likeness;

/**
 * What a second view shows of the same things as a first, verified patch by patch.
 *
 * @param scale pixels of the second view per pixel of the first
 * @param rotation radians
 * @param shiftX where the first view's left upper corner falls in the second, in pixels
 * @param shiftY as {@code shiftX}, downwards
 * @param gain log2 of the second view's exposure over the first's, in stops: + if the second
 *     rendered the same things brighter
 * @param gainSigma one standard deviation of {@code gain}, in stops
 * @param redGreen change of log2 red over green from the first to the second
 * @param blueGreen change of log2 blue over green from the first to the second
 * @param colourSigma one standard deviation of the colour changes, in stops
 * @param agreeing patches whose texture agrees
 * @param patches patches that lie in both views
 */
public record SharedContent(
    double scale,
    double rotation,
    double shiftX,
    double shiftY,
    double gain,
    double gainSigma,
    double redGreen,
    double blueGreen,
    double colourSigma,
    int agreeing,
    int patches) {

  /** Error of a gain that more patches don't take away: both pictures' noise and rounding. */
  private static final double PICTURE_NOISE = 0.012;

  /** One standard deviation of a median over patches that spread by this around it. */
  static double medianSigma(double spread, int agreeing) {
    return Math.hypot(PICTURE_NOISE, spread / Math.sqrt(independent(agreeing)));
  }

  /** Neighbouring patches err together: a quarter of them counts. */
  private static double independent(int agreeing) {
    return Math.max(1, agreeing / 4.0);
  }

  /** By how much patches spread around the gain, one robust standard deviation in stops. */
  public double spread() {
    return patchSigma() * Math.sqrt(independent(agreeing));
  }

  /** The part of {@code gainSigma} that the patches' spread makes. */
  public double patchSigma() {
    return Math.sqrt(Math.max(0, gainSigma * gainSigma - PICTURE_NOISE * PICTURE_NOISE));
  }

  /** Share of the common patches that agree, 0 to 1. */
  public double agreement() {
    return (double) agreeing / patches;
  }
}
