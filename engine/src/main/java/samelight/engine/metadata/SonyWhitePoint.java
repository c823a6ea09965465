package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.metadata.Collected.StatedWhitePoint;

/**
 * Sony's WB_RGGBLevels (0x7313) or WB_GRBGLevels (0x7303), where a raw file's own directory has
 * them in plain, and ColorTemperature (0xB021) of the maker's notes, which is 0 in automatic.
 */
final class SonyWhitePoint implements MakerWhitePoint {
  private static final int RGGB = 0x7313;
  private static final int GRBG = 0x7303;
  private static final int KELVIN = 0xB021;

  @Override
  public @Nullable StatedWhitePoint read(Collected file) {
    CameraNeutral neutral = null;
    String source = "";
    for (Directory d : file.directories) {
      if (!d.kind().ofPicture()) {
        continue;
      }
      double[] v = d.numbers(RGGB);
      if (v.length == 4 && neutral == null) {
        neutral = MakerWhitePoint.neutral(v[0], (v[1] + v[2]) / 2, v[3]);
        source = "Sony WB_RGGBLevels (0x7313)";
      }
      v = d.numbers(GRBG);
      if (v.length == 4 && neutral == null) {
        neutral = MakerWhitePoint.neutral(v[1], (v[0] + v[3]) / 2, v[2]);
        source = "Sony WB_GRBGLevels (0x7303)";
      }
    }
    Directory maker = file.maker();
    double kelvin = maker == null ? 0 : maker.number(KELVIN);
    if (kelvin >= 1000 && kelvin <= 50_000) {
      source += (source.isEmpty() ? "" : " and ") + "Sony ColorTemperature (0xB021)";
    }
    return MakerWhitePoint.of(neutral, kelvin, source);
  }
}
