package samelight.engine.quantity;

/**
 * How long the shutter was open.
 *
 * @param seconds 10<sup>-6</sup> to 10<sup>6</sup> s
 */
public record ExposureTime(double seconds) {
  /**
   * @throws IllegalArgumentException if {@code seconds} is out of range
   */
  public ExposureTime {
    Range.within("exposure time in seconds", seconds, 1e-6, 1e6);
  }

  /** The time value Tv = -log2 t ([EXIF22], Annex C), in stops. */
  public double tv() {
    return -Math.log(seconds) / Math.log(2);
  }
}
