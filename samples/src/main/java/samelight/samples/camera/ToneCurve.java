package samelight.samples.camera;

/**
 * How a body renders scene light into a picture: mid-grey stays mid-grey, contrast is its own.
 *
 * <p>With r the scene light over that of mid-grey (18 %), the display light is
 *
 * <pre>
 * y = min(1, a r^n / (r^n + a/0.18 - 1)),  a = 1.25,  n = slope / (1 - 0.18/a)
 * </pre>
 *
 * a saturating response (Naka and Rushton, <i>S-potentials from colour units in the retina of
 * fish</i>, J. Physiol. 185 (1966) 536-555) with a ceiling a above white so that it clips, and
 * {@code slope} = d log2 y / d log2 r at mid-grey. Code values then follow IEC 61966-2-1 (sRGB).
 *
 * @param slope slope around mid-grey, 0.5 to 2; a plain sRGB picture has 1, cameras 1.0 to 1.5
 */
public record ToneCurve(double slope) {

  /** Reflectance of mid-grey. */
  public static final double MID_GREY = 0.18;

  private static final double CEILING = 1.25;

  /** Checks the range. */
  public ToneCurve {
    if (!(slope >= 0.5 && slope <= 2)) {
      throw new IllegalArgumentException("slope at mid-grey must be 0.5 to 2, got " + slope);
    }
  }

  /** Display light, 0 to 1, of scene light where mid-grey is 0.18. */
  public double display(double scene) {
    if (scene <= 0) {
      return 0;
    }
    double n = slope / (1 - MID_GREY / CEILING);
    double r = StrictMath.pow(scene / MID_GREY, n);
    return Math.min(1, CEILING * r / (r + CEILING / MID_GREY - 1));
  }

  /** Code value, 0 to 255 and not rounded, of scene light. */
  public double code(double scene) {
    return 255 * encode(display(scene));
  }

  /** Scene light that gives a code value: the inverse of {@link #code} below clipping. */
  public double scene(double code) {
    double y = decode(code / 255);
    double n = slope / (1 - MID_GREY / CEILING);
    double r = y * (CEILING / MID_GREY - 1) / (CEILING - y);
    return MID_GREY * StrictMath.pow(r, 1 / n);
  }

  /** The sRGB transfer function of IEC 61966-2-1, linear light to code, both 0 to 1. */
  public static double encode(double linear) {
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * StrictMath.pow(linear, 1 / 2.4) - 0.055;
  }

  /** The inverse of {@link #encode}. */
  public static double decode(double code) {
    return code <= 0.04045 ? code / 12.92 : StrictMath.pow((code + 0.055) / 1.055, 2.4);
  }
}
