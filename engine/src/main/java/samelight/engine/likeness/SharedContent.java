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

  /** Share of the common patches that agree, 0 to 1. */
  public double agreement() {
    return (double) agreeing / patches;
  }
}
