package samelight.engine.colour;

import java.util.Optional;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.quantity.Kelvin;

/**
 * Between a camera's neutral and the chromaticity of the white, by the matrices of a DNG file
 * ([DNG], "Mapping Camera Color Space to CIE XYZ Space").
 *
 * <p>Symbols: XYZtoCamera = AB CC CM, with AnalogBalance AB, CameraCalibration CC and ColorMatrix
 * CM. With two calibrations CC and CM are interpolated linearly in the reciprocal of the white's
 * correlated colour temperature and held beyond the two illuminants. From neutral to white this is
 * circular, so it is iterated from D50. Departures from the text: colour temperature is {@link
 * Planckian}'s, and an iteration that swings is damped by half.
 */
public final class DngNeutral {
  private static final int ITERATIONS = 60;
  private static final double CLOSE = 1e-9;

  private final Matrix3 color1;
  private final Matrix3 color2;
  private final Matrix3 calibration1;
  private final Matrix3 calibration2;
  private final Matrix3 balance;
  private final @Nullable Kelvin illuminant1;
  private final @Nullable Kelvin illuminant2;

  private DngNeutral(
      Matrix3 color1,
      Matrix3 color2,
      Matrix3 calibration1,
      Matrix3 calibration2,
      Matrix3 balance,
      @Nullable Kelvin illuminant1,
      @Nullable Kelvin illuminant2) {
    this.color1 = color1;
    this.color2 = color2;
    this.calibration1 = calibration1;
    this.calibration2 = calibration2;
    this.balance = balance;
    this.illuminant1 = illuminant1;
    this.illuminant2 = illuminant2;
    balance.times(calibration1).times(color1).inverse();
    balance.times(calibration2).times(color2).inverse();
  }

  /**
   * A camera with one calibration.
   *
   * @param colorMatrix ColorMatrix1, from XYZ to camera
   * @throws IllegalArgumentException if the matrix has no inverse
   */
  public static DngNeutral of(Matrix3 colorMatrix) {
    Matrix3 one = Matrix3.IDENTITY;
    return new DngNeutral(colorMatrix, colorMatrix, one, one, one, null, null);
  }

  /**
   * A camera with two calibrations.
   *
   * @param colorMatrix1 ColorMatrix1
   * @param illuminant1 temperature of CalibrationIlluminant1, see {@link LightSources}
   * @param colorMatrix2 ColorMatrix2
   * @param illuminant2 temperature of CalibrationIlluminant2
   * @throws IllegalArgumentException if a matrix has no inverse, or the illuminants are equal
   */
  public static DngNeutral of(
      Matrix3 colorMatrix1, Kelvin illuminant1, Matrix3 colorMatrix2, Kelvin illuminant2) {
    if (illuminant1.equals(illuminant2)) {
      throw new IllegalArgumentException(
          "calibration illuminants must differ, both were " + illuminant1.value() + " K");
    }
    Matrix3 one = Matrix3.IDENTITY;
    return new DngNeutral(colorMatrix1, colorMatrix2, one, one, one, illuminant1, illuminant2);
  }

  /**
   * The same camera with CameraCalibration1 and 2.
   *
   * @throws IllegalArgumentException if a matrix has no inverse
   */
  public DngNeutral calibrated(Matrix3 calibration1, Matrix3 calibration2) {
    return new DngNeutral(
        color1, color2, calibration1, calibration2, balance, illuminant1, illuminant2);
  }

  /**
   * The same camera with AnalogBalance.
   *
   * @throws IllegalArgumentException if a gain is zero or not finite
   */
  public DngNeutral balanced(double red, double green, double blue) {
    return new DngNeutral(
        color1,
        color2,
        calibration1,
        calibration2,
        Matrix3.diagonal(red, green, blue),
        illuminant1,
        illuminant2);
  }

  /** XYZtoCamera at a colour temperature. */
  public Matrix3 xyzToCamera(Kelvin temperature) {
    return xyzToCamera(weightOfSecond(temperature.toMired().value()));
  }

  /**
   * The chromaticity of the white that gives this neutral.
   *
   * @return empty where the matrices give no real chromaticity or the iteration doesn't settle
   */
  public Optional<Chromaticity> chromaticity(CameraNeutral neutral) {
    double[] camera = {neutral.red(), 1, neutral.blue()};
    double x = Chromaticity.D50.x();
    double y = Chromaticity.D50.y();
    for (int i = 0; i < ITERATIONS; i++) {
      double[] xyz = xyzToCamera(weightOfSecond(new Chromaticity(x, y))).inverse().times(camera);
      double sum = xyz[0] + xyz[1] + xyz[2];
      double nextX = xyz[0] / sum;
      double nextY = xyz[1] / sum;
      if (!(nextX >= 0 && nextY > 0 && nextX + nextY <= 1)) {
        return Optional.empty();
      }
      if (Math.abs(nextX - x) + Math.abs(nextY - y) < CLOSE) {
        return Optional.of(new Chromaticity(nextX, nextY));
      }
      boolean swings = i >= ITERATIONS / 2;
      x = swings ? (x + nextX) / 2 : nextX;
      y = swings ? (y + nextY) / 2 : nextY;
    }
    return Optional.empty();
  }

  /**
   * The neutral that a white of this chromaticity gives.
   *
   * @return empty where a channel doesn't respond positively
   */
  public Optional<CameraNeutral> neutral(Chromaticity white) {
    double[] camera = xyzToCamera(weightOfSecond(white)).times(white.xyz());
    double red = camera[0] / camera[1];
    double blue = camera[2] / camera[1];
    if (!(camera[1] > 0 && red >= 1e-3 && red <= 1e3 && blue >= 1e-3 && blue <= 1e3)) {
      return Optional.empty();
    }
    return Optional.of(new CameraNeutral(red, blue));
  }

  private Matrix3 xyzToCamera(double weight) {
    return balance
        .times(calibration1.blend(calibration2, weight))
        .times(color1.blend(color2, weight));
  }

  private double weightOfSecond(Chromaticity white) {
    if (illuminant1 == null || illuminant2 == null) {
      return 0;
    }
    // Beyond an end of the locus the nearer end decides; the weight is held there anyway.
    double mired =
        Planckian.temperature(white)
            .map(t -> t.kelvin().toMired().value())
            .orElse(white.x() < Chromaticity.D50.x() ? 1.0 : 2000.0);
    return weightOfSecond(mired);
  }

  private double weightOfSecond(double mired) {
    if (illuminant1 == null || illuminant2 == null) {
      return 0;
    }
    double m1 = illuminant1.toMired().value();
    double m2 = illuminant2.toMired().value();
    return Math.min(1, Math.max(0, (mired - m1) / (m2 - m1)));
  }
}
