package samelight.engine.metadata;

import java.util.Optional;
import org.jspecify.annotations.Nullable;
import samelight.engine.colour.Chromaticity;
import samelight.engine.colour.DngNeutral;
import samelight.engine.colour.LightSources;
import samelight.engine.colour.Matrix3;
import samelight.engine.colour.Planckian;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.frame.WhitePoint;
import samelight.engine.metadata.Collected.StatedWhitePoint;
import samelight.engine.quantity.Kelvin;

/**
 * DNG: AsShotNeutral (0xC628) with ColorMatrix (0xC621, 0xC622), CameraCalibration (0xC623, 0xC624,
 * used only where its signature is the profile's) and AnalogBalance (0xC627), or AsShotWhiteXY
 * (0xC629). Without matrices only the ratios are known.
 */
final class DngWhitePoint implements MakerWhitePoint {
  private static final int MATRIX_1 = 0xC621;
  private static final int MATRIX_2 = 0xC622;
  private static final int CALIBRATION_1 = 0xC623;
  private static final int CALIBRATION_2 = 0xC624;
  private static final int ANALOG_BALANCE = 0xC627;
  private static final int AS_SHOT_NEUTRAL = 0xC628;
  private static final int AS_SHOT_XY = 0xC629;
  private static final int ILLUMINANT_1 = 0xC65A;
  private static final int ILLUMINANT_2 = 0xC65B;
  private static final int CAMERA_SIGNATURE = 0xC6F3;
  private static final int PROFILE_SIGNATURE = 0xC6F4;

  @Override
  public @Nullable StatedWhitePoint read(Collected file) {
    Directory main = file.main();
    if (main == null) {
      return null;
    }
    double[] n = main.numbers(AS_SHOT_NEUTRAL);
    if (n.length == 3) {
      CameraNeutral neutral = MakerWhitePoint.neutral(1 / n[0], 1 / n[1], 1 / n[2]);
      return neutral == null ? null : fromNeutral(main, neutral);
    }
    double[] xy = main.numbers(AS_SHOT_XY);
    if (xy.length == 2 && xy[0] > 0 && xy[1] > 0 && xy[0] + xy[1] < 1) {
      Chromaticity white = new Chromaticity(xy[0], xy[1]);
      return Planckian.temperature(white)
          .map(
              t ->
                  new StatedWhitePoint(
                      new WhitePoint(WhitePoint.Kind.CHROMATICITY, t.kelvin(), t.duv(), null),
                      "DNG AsShotWhiteXY (0xC629)"))
          .orElse(null);
    }
    return null;
  }

  private static StatedWhitePoint fromNeutral(Directory main, CameraNeutral neutral) {
    return camera(main)
        .flatMap(c -> c.chromaticity(neutral))
        .flatMap(Planckian::temperature)
        .map(
            t ->
                new StatedWhitePoint(
                    new WhitePoint(
                        WhitePoint.Kind.NEUTRAL_AND_MATRIX, t.kelvin(), t.duv(), neutral),
                    "DNG AsShotNeutral (0xC628) and ColorMatrix (0xC621)"))
        .orElseGet(
            () ->
                new StatedWhitePoint(
                    new WhitePoint(WhitePoint.Kind.NEUTRAL, null, null, neutral),
                    "DNG AsShotNeutral (0xC628)"));
  }

  private static Optional<DngNeutral> camera(Directory main) {
    Matrix3 one = matrix(main, MATRIX_1);
    Matrix3 two = matrix(main, MATRIX_2);
    if (one == null) {
      return Optional.empty();
    }
    Kelvin k1 = illuminant(main, ILLUMINANT_1);
    Kelvin k2 = illuminant(main, ILLUMINANT_2);
    try {
      DngNeutral camera =
          two == null || k1 == null || k2 == null || k1.equals(k2)
              ? DngNeutral.of(one)
              : DngNeutral.of(one, k1, two, k2);
      Matrix3 c1 = matrix(main, CALIBRATION_1);
      Matrix3 c2 = matrix(main, CALIBRATION_2);
      if (c1 != null
          && java.util.Objects.equals(main.text(CAMERA_SIGNATURE), main.text(PROFILE_SIGNATURE))) {
        camera = camera.calibrated(c1, c2 == null ? c1 : c2);
      }
      double[] b = main.numbers(ANALOG_BALANCE);
      if (b.length == 3) {
        camera = camera.balanced(b[0], b[1], b[2]);
      }
      return Optional.of(camera);
    } catch (IllegalArgumentException e) {
      // A matrix without an inverse says nothing.
      return Optional.empty();
    }
  }

  private static @Nullable Matrix3 matrix(Directory main, int tag) {
    double[] m = main.numbers(tag);
    if (m.length != 9) {
      return null;
    }
    for (double v : m) {
      if (!Double.isFinite(v) || Math.abs(v) > 1e4) {
        return null;
      }
    }
    return Matrix3.of(m);
  }

  private static @Nullable Kelvin illuminant(Directory main, int tag) {
    double code = main.number(tag);
    return code >= 0 && code <= 0xFFFF
        ? LightSources.nominal((int) code).map(LightSources.Nominal::kelvin).orElse(null)
        : null;
  }
}
