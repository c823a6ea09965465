package samelight.engine.quantity;

/**
 * A relative aperture, N = f/D.
 *
 * @param value 0.3 to 1024
 */
public record FNumber(double value) {
  /**
   * @throws IllegalArgumentException if {@code value} is out of range
   */
  public FNumber {
    Range.within("f-number", value, 0.3, 1024);
  }

  /** The aperture value Av = 2 log2 N ([EXIF22], Annex C), in stops. */
  public double av() {
    return 2 * Math.log(value) / Math.log(2);
  }
}
