package samelight.engine.colour;

import java.util.Optional;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Kelvin;

/**
 * A white point as log2 ratios of linear sRGB primaries (IEC 61966-2-1 matrix, D65 white), so that
 * a cast measured in a rendered picture and the white point that the rendering was balanced for can
 * be added: light = balanced white + cast. Exact for balancing by gains on these primaries, close
 * to it for others.
 *
 * @param redGreen log2 of red over green
 * @param blueGreen log2 of blue over green
 */
public record WhiteRatios(double redGreen, double blueGreen) {
  private static final Matrix3 TO_RGB =
      Matrix3.of(
          3.2404542,
          -1.5371385,
          -0.4985314,
          -0.9692660,
          1.8760108,
          0.0415560,
          0.0556434,
          -0.2040259,
          1.0572252);
  private static final Matrix3 TO_XYZ = TO_RGB.inverse();

  /** The darkest that a primary may be against green, so that candlelight keeps a finite blue. */
  private static final double LEAST = 1e-3;

  /** Ratios of a white point. */
  public static WhiteRatios of(WhiteTemperature white) {
    Chromaticity c = Planckian.chromaticity(white);
    double[] rgb = TO_RGB.times(new double[] {c.x() / c.y(), 1, (1 - c.x() - c.y()) / c.y()});
    double green = Math.max(rgb[1], LEAST);
    return new WhiteRatios(
        log2(Math.max(rgb[0] / green, LEAST)), log2(Math.max(rgb[2] / green, LEAST)));
  }

  /** Ratios of a temperature on the Planckian locus. */
  public static WhiteRatios of(Kelvin temperature) {
    return of(new WhiteTemperature(temperature, Duv.ZERO));
  }

  /** These ratios with a cast added. */
  public WhiteRatios plus(double redGreenCast, double blueGreenCast) {
    return new WhiteRatios(redGreen + redGreenCast, blueGreen + blueGreenCast);
  }

  /** The white point with these ratios; empty where it is too far from the Planckian locus. */
  public Optional<WhiteTemperature> temperature() {
    double[] xyz = TO_XYZ.times(new double[] {Math.pow(2, redGreen), 1, Math.pow(2, blueGreen)});
    double sum = xyz[0] + xyz[1] + xyz[2];
    if (!(sum > 0) || xyz[1] <= 0 || xyz[0] <= 0) {
      return Optional.empty();
    }
    return Planckian.temperature(new Chromaticity(xyz[0] / sum, xyz[1] / sum));
  }

  private static double log2(double v) {
    return Math.log(v) / Math.log(2);
  }
}
