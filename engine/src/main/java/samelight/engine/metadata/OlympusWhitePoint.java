package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.metadata.Collected.StatedWhitePoint;

/**
 * Olympus and OM: WB_RBLevels (0x0100) of ImageProcessing (0x2040), red and blue with green 256
 * unless WB_GLevel (0x011F) says otherwise; WhiteBalanceTemperature (0x0501) of CameraSettings
 * (0x2020), 0 in automatic; older bodies RedBalance and BlueBalance (0x1017, 0x1018).
 */
final class OlympusWhitePoint implements MakerWhitePoint {
  @Override
  public @Nullable StatedWhitePoint read(Collected file) {
    Directory image = file.makerSub(MakerNotes.OLYMPUS_IMAGE);
    Directory settings = file.makerSub(MakerNotes.OLYMPUS_SETTINGS);
    Directory maker = file.maker();
    CameraNeutral neutral = null;
    String source = "";
    if (image != null) {
      double[] v = image.numbers(0x0100);
      double green = image.number(0x011F);
      if (v.length >= 2) {
        neutral = MakerWhitePoint.neutral(v[0], green > 0 ? green : 256, v[1]);
        source = "Olympus WB_RBLevels (0x2040/0x0100)";
      }
    }
    if (neutral == null && maker != null) {
      double red = maker.number(0x1017);
      double blue = maker.number(0x1018);
      neutral = MakerWhitePoint.neutral(red, 256, blue);
      source = "Olympus RedBalance, BlueBalance (0x1017, 0x1018)";
    }
    double kelvin = settings == null ? 0 : settings.number(0x0501);
    if (kelvin >= 1000) {
      source =
          (neutral == null ? "" : source + " and ")
              + "Olympus WhiteBalanceTemperature (0x2020/0x0501)";
    }
    return MakerWhitePoint.of(neutral, kelvin, source);
  }
}
