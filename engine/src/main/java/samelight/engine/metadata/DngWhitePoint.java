package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.frame.WhitePoint;
import samelight.engine.metadata.Collected.StatedWhitePoint;

/** DNG: AsShotNeutral with the camera's colour matrices, or AsShotWhiteXY. */
final class DngWhitePoint implements MakerWhitePoint {
  private static final int AS_SHOT_NEUTRAL = 0xC628;

  @Override
  public @Nullable StatedWhitePoint read(Collected file) {
    Directory main = file.main();
    double[] n = main == null ? new double[0] : main.numbers(AS_SHOT_NEUTRAL);
    if (n.length != 3 || !(n[0] > 0 && n[1] > 0 && n[2] > 0)) {
      return null;
    }
    CameraNeutral neutral = new CameraNeutral(n[0] / n[1], n[2] / n[1]);
    return new StatedWhitePoint(
        new WhitePoint(WhitePoint.Kind.NEUTRAL, null, null, neutral), "DNG AsShotNeutral (0xC628)");
  }
}
