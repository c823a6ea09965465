package samelight.engine.frame;

/**
 * White balance as set and as it came out.
 *
 * @param setting whether the camera chose
 * @param lightSource Exif LightSource (Exif 2.2), 0 where unknown
 * @param point the white point used
 */
public record WhiteBalance(Setting setting, int lightSource, WhitePoint point) {
  /** The Exif WhiteBalance tag. */
  public enum Setting {
    /** The camera chose for each frame. */
    AUTO,
    /** A preset or a number, the same until changed. */
    PRESET,
    /** Not given. */
    UNKNOWN
  }

  /** Nothing known. */
  public static final WhiteBalance UNKNOWN =
      new WhiteBalance(Setting.UNKNOWN, 0, WhitePoint.UNKNOWN);
}
