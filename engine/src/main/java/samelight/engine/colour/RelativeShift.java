package samelight.engine.colour;

import java.util.Optional;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Mired;

/**
 * The shift of light between two frames of one body from their neutrals alone, without the body's
 * colour matrices.
 *
 * <p>Under Planckian light ln(R/G) and ln(B/G) of a sensor run along straight lines in reciprocal
 * temperature ([FINLAYSON01], from Wien's approximation), with slopes set by the effective
 * wavelengths of its filters, which differ little between sensors. Green shifts move both ratios
 * down by an amount that depends on the temperature, for which ln(R/B) of the two frames' mean is a
 * rough measure. The two equations are solved for mired and Duv.
 *
 * <p>Constants: means of the derivatives over the colour matrices of four cameras (colour-hdri's
 * DNG example and three DNG files), 150 to 350 mired. Error against the matrices of these four,
 * from 150 to 360 mired: over a camera's whole range a shift in mired comes out 0.86 to 1.10 times
 * its true size, at single places 0.6 to 1.2 times; each 0.001 of Duv difference adds 0.8 mired of
 * error (one standard deviation); the error in Duv is 0.0005 (likewise) for shifts up to 30 mired
 * and |Duv| up to 0.006. Shifts of a sensor that is far from these (a display's primaries) come out
 * up to 1.4 times too large.
 */
public final class RelativeShift {
  private static final double RED_BY_MIRED = 3.06e-3;
  private static final double BLUE_BY_MIRED = -3.73e-3;
  private static final double MIRED_AT_EQUAL = 232.7;
  private static final double MIRED_BY_LOG_RATIO = 147.4;
  private static final double RED_BY_DUV = -13.95;
  private static final double RED_BY_DUV_AND_MIRED = 0.0338;
  private static final double LOG_BLUE_BY_DUV = 1.264;
  private static final double LOG_BLUE_BY_DUV_AND_MIRED = 6.15e-3;
  private static final double LOWEST = 130;
  private static final double HIGHEST = 400;
  private static final double FARTHEST_LOG = Math.log(16);
  private static final double SIGMA_SHARE = 0.12;
  private static final double SIGMA_BY_DUV = 800;

  private RelativeShift() {}

  /**
   * The shift from one frame's light to another's.
   *
   * @param one neutral of the frame to start from
   * @param other neutral of the other frame, of the same body
   * @return other minus one, antisymmetric; empty where a ratio differs by more than 16 times or
   *     the shift is out of all range, so that no light explains it
   */
  public static Optional<LightShift> between(CameraNeutral one, CameraNeutral other) {
    double red = Math.log(other.red() / one.red());
    double blue = Math.log(other.blue() / one.blue());
    if (Math.abs(red) > FARTHEST_LOG || Math.abs(blue) > FARTHEST_LOG) {
      return Optional.empty();
    }
    double mean = (Math.log(one.red() / one.blue()) + Math.log(other.red() / other.blue())) / 2;
    double at = MIRED_AT_EQUAL + MIRED_BY_LOG_RATIO * mean;
    at = Math.min(HIGHEST, Math.max(LOWEST, at));
    double redByDuv = RED_BY_DUV + RED_BY_DUV_AND_MIRED * at;
    double blueByDuv = -Math.exp(LOG_BLUE_BY_DUV + LOG_BLUE_BY_DUV_AND_MIRED * at);
    double determinant = RED_BY_MIRED * blueByDuv - BLUE_BY_MIRED * redByDuv;
    double mired = (red * blueByDuv - blue * redByDuv) / determinant;
    double duv = (RED_BY_MIRED * blue - BLUE_BY_MIRED * red) / determinant;
    if (Math.abs(duv) > Planckian.MAX_DUV || Math.abs(mired) > 1000) {
      return Optional.empty();
    }
    double sigma = Math.hypot(SIGMA_SHARE * mired, SIGMA_BY_DUV * duv);
    return Optional.of(new LightShift(new Mired(mired), new Duv(duv), new Mired(sigma)));
  }
}
