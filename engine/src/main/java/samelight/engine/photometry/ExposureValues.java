package samelight.engine.photometry;

import samelight.engine.quantity.Ev;
import samelight.engine.quantity.ExposureTime;
import samelight.engine.quantity.FNumber;
import samelight.engine.quantity.Illuminance;
import samelight.engine.quantity.Iso;
import samelight.engine.quantity.Luminance;

/**
 * Exposure values and the light that they stand for.
 *
 * <p>Symbols as in [EXIF22], Annex C: Av = 2 log2 N, Tv = -log2 t, Sv = log2(S/3.125), Ev = Av + Tv
 * = Bv + Sv. EV100 is the exposure value referred to ISO 100: Av + Tv - log2(S/100). Luminance
 * follows from the reflected-light meter equation of [ISO2720], N&sup2;/t = L S/K.
 */
public final class ExposureValues {
  /**
   * Calibration constant K of reflected-light meters, in cd s/m&sup2; at ISO 1: [ISO2720] allows
   * 10.6 to 13.4; 12.5 is the usual choice, some makers take 14 (0.163 stop more).
   */
  public static final double K = 12.5;

  /** Calibration constant C of incident-light meters with a flat receptor, in lx s ([ISO2720]). */
  public static final double C = 250;

  /** One foot-lambert in cd/m&sup2;: 1/&pi; candela per square foot of 0.09290304 m&sup2;. */
  public static final double FOOT_LAMBERT = 1 / (Math.PI * 0.3048 * 0.3048);

  private static final double SV_AT_ISO_100 = 5; // log2(100/3.125)

  private ExposureValues() {}

  /** EV100 = Av + Tv - log2(S/100), in stops; brighter scenes have higher values. */
  public static Ev ev100(FNumber aperture, ExposureTime time, Iso sensitivity) {
    return new Ev(aperture.av() + time.tv() - sensitivity.stopsAbove100());
  }

  /** The luminance that a meter with {@link #K} places at this EV100: 2^(EV100 - 3) cd/m&sup2;. */
  public static Luminance luminance(Ev ev100) {
    return luminance(ev100, K);
  }

  /**
   * The luminance that a meter with another calibration places at this EV100: K/100 2^EV100.
   *
   * @param k cd s/m&sup2; at ISO 1, 1 to 100
   * @throws IllegalArgumentException if {@code k} is out of range, or the luminance can't be held
   */
  public static Luminance luminance(Ev ev100, double k) {
    return new Luminance(checkK(k) / 100 * Math.pow(2, ev100.stops()));
  }

  /** The EV100 at which a meter with {@link #K} places this luminance. */
  public static Ev ev100(Luminance luminance) {
    return ev100(luminance, K);
  }

  /**
   * The EV100 at which a meter with another calibration places this luminance.
   *
   * @param k cd s/m&sup2; at ISO 1, 1 to 100
   * @throws IllegalArgumentException if {@code k} is out of range
   */
  public static Ev ev100(Luminance luminance, double k) {
    return new Ev(log2(luminance.candelasPerSquareMetre()) - log2(checkK(k) / 100));
  }

  /** The illuminance of a flat receptor, C/100 2^EV100 = 2.5 2^EV100 lx ([ISO2720], {@link #C}). */
  public static Illuminance illuminance(Ev ev100) {
    return new Illuminance(C / 100 * Math.pow(2, ev100.stops()));
  }

  /** The brightness value Bv = Ev - Sv ([EXIF22], Annex C), in stops: EV100 - 5. */
  public static Ev brightnessValue(Ev ev100) {
    return new Ev(ev100.stops() - SV_AT_ISO_100);
  }

  /**
   * The luminance of an Exif BrightnessValue, 2^Bv foot-lamberts ([EXIF22], Table 48: 1 fL is 0).
   * It implies K = 10.71, so it lies 0.22 stop below {@link #luminance(Ev)} of the same settings.
   */
  public static Luminance luminanceOfBrightnessValue(Ev brightnessValue) {
    return new Luminance(FOOT_LAMBERT * Math.pow(2, brightnessValue.stops()));
  }

  static double log2(double x) {
    return Math.log(x) / Math.log(2);
  }

  private static double checkK(double k) {
    if (!(k >= 1 && k <= 100)) {
      throw new IllegalArgumentException(
          "meter constant K must lie within 1 and 100 cd s/m², was " + k);
    }
    return k;
  }
}
