package samelight.engine.hevc;

/**
 * What a stream or a file says about its colours, as code points of [H.273].
 *
 * @param primaries colour primaries; 2 is unspecified
 * @param transfer transfer characteristics; 2 is unspecified
 * @param matrix matrix coefficients; 2 is unspecified
 * @param fullRange whether codes use their whole range
 */
public record ColourSignal(int primaries, int transfer, int matrix, boolean fullRange) {
  /** Nothing said: what [H.265], E.3.1, infers. */
  public static final ColourSignal UNSPECIFIED = new ColourSignal(2, 2, 2, false);
}
