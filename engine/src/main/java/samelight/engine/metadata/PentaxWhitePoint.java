package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;
import samelight.engine.metadata.Collected.StatedWhitePoint;

/**
 * Pentax WhitePoint (0x0201): R G G B levels as shot. The parsing library takes these notes for
 * another maker's; here they are read from their own header.
 */
final class PentaxWhitePoint implements MakerWhitePoint {
  @Override
  public @Nullable StatedWhitePoint read(Collected file) {
    Directory maker = file.maker();
    double[] v = maker == null || !file.pentaxNotes ? new double[0] : maker.numbers(0x0201);
    return v.length != 4
        ? null
        : MakerWhitePoint.of(
            MakerWhitePoint.neutral(v[0], (v[1] + v[2]) / 2, v[3]),
            0,
            "Pentax WhitePoint (0x0201)");
  }
}
