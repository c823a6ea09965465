package samelight.engine.colour;

import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Mired;

/**
 * How the white of one frame differs from that of another: the other minus the one.
 *
 * @param mired difference of reciprocal colour temperature; positive is warmer light
 * @param duv difference of the distance from the locus; positive is greener light
 * @param miredSigma one standard deviation of {@code mired}, from the method alone
 */
public record LightShift(Mired mired, Duv duv, Mired miredSigma) {
  /** No difference. */
  public static final LightShift NONE = new LightShift(Mired.ZERO, Duv.ZERO, Mired.ZERO);
}
