package samelight.engine.likeness;

/**
 * What one picture says by itself.
 *
 * @param brightness log2 of the mean exposure of the unclipped pixels, green, in stops relative to
 *     full scale
 * @param redGreen mean log2 of red over green of the unclipped pixels, as rendered
 * @param blueGreen mean log2 of blue over green of the unclipped pixels, as rendered
 * @param clipped share of pixels at the upper end of the scale, 0 to 1
 * @param middle the middle of the picture over its sides and top, in stops
 * @param skin how brightly skin is rendered, in stops relative to full scale, or NaN where too
 *     little of the picture has its colour
 */
public record ViewFacts(
    double brightness,
    double redGreen,
    double blueGreen,
    double clipped,
    double middle,
    double skin) {
  static ViewFacts of(View v) {
    return new ViewFacts(
        v.brightness(), v.redGreen(), v.blueGreen(), v.clipped(), v.middle(), v.skin());
  }
}
