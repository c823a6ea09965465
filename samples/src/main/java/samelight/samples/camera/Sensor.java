package samelight.samples.camera;

import samelight.samples.light.Chromaticity;
import samelight.samples.light.Krystek1985;
import samelight.samples.light.Matrix3;

/**
 * The colour response of a body: two matrices from XYZ to its own red, green and blue, for standard
 * illuminant A and for D65, blended linearly in mired as the DNG specification describes.
 *
 * @param lampMatrix XYZ to camera under illuminant A (2856 K)
 * @param dayMatrix XYZ to camera under D65 (6504 K)
 */
public record Sensor(Matrix3 lampMatrix, Matrix3 dayMatrix) {

  private static final double LAMP_MIRED = 1e6 / 2856;
  private static final double DAY_MIRED = 1e6 / 6504;

  /** The response under a light of some temperature, clamped to the two illuminants. */
  public Matrix3 matrix(double kelvin) {
    double g = (1e6 / kelvin - DAY_MIRED) / (LAMP_MIRED - DAY_MIRED);
    g = Math.max(0, Math.min(1, g));
    return lampMatrix.blend(g, dayMatrix, 1 - g);
  }

  /** Camera values of a white object under a light, whose XYZ has Y = 1. */
  public double[] white(Chromaticity light) {
    return matrix(Krystek1985.kelvin(light)).times(light.xyz());
  }

  /** The DNG AsShotNeutral of a white balance: camera values of white, green made 1. */
  public double[] neutral(Chromaticity asShot) {
    double[] w = white(asShot);
    return new double[] {w[0] / w[1], 1, w[2] / w[1]};
  }

  /**
   * The whole way from what a surface is to what the body renders before its tone curve.
   *
   * <p>A surface given as linear sRGB under D65 is moved to the light by the linear Bradford
   * transform, seen by the sensor, divided by the camera's as-shot white, and turned back into
   * linear sRGB through the matrix that belongs to the as-shot white. If the camera guessed the
   * light, the surface keeps its colour; otherwise the difference stays as a cast.
   */
  public Matrix3 rendering(Chromaticity light, Chromaticity asShot) {
    double[] d65 = Chromaticity.D65.xyz();
    Matrix3 seen =
        matrix(Krystek1985.kelvin(light))
            .times(Matrix3.adaptation(d65, light.xyz()))
            .times(Matrix3.SRGB_TO_XYZ);
    return fromCamera(asShot).times(seen);
  }

  /**
   * The chromaticity of the light that made a neutral, by the iteration of the DNG specification:
   * the matrix depends on the temperature, the temperature on the chromaticity.
   *
   * @param neutral camera values of white, of any scale
   */
  public Chromaticity read(double[] neutral) {
    Chromaticity c = Chromaticity.D65;
    for (int i = 0; i < 30; i++) {
      c = Chromaticity.ofXyz(matrix(Krystek1985.kelvin(c)).inverse().times(neutral));
    }
    return c;
  }

  /**
   * A profile that reads every light at another temperature than this sensor sees it.
   *
   * @param mired shift of what it reads, positive towards warm
   */
  public Sensor misread(double mired) {
    return new Sensor(
        lampMatrix.times(misreading(LAMP_MIRED, mired)),
        dayMatrix.times(misreading(DAY_MIRED, mired)));
  }

  private static Matrix3 misreading(double at, double mired) {
    return Matrix3.adaptation(
        Krystek1985.chromaticity(1e6 / (at + mired), 0).xyz(),
        Krystek1985.chromaticity(1e6 / at, 0).xyz());
  }

  /** From camera values to linear sRGB as the body renders them with an as-shot white. */
  public Matrix3 fromCamera(Chromaticity asShot) {
    return Matrix3.XYZ_TO_SRGB
        .times(Matrix3.adaptation(asShot.xyz(), Chromaticity.D65.xyz()))
        .times(matrix(Krystek1985.kelvin(asShot)).inverse());
  }
}
