package samelight.samples.camera;

/**
 * An invented lens.
 *
 * @param name as Exif shows it
 * @param millimetres focal length, above 0
 * @param widest widest aperture value in sixths of a stop
 * @param lossStops light lost against the marked f-number (its T-stop), -1 to 1
 */
public record Lens(String name, int millimetres, int widest, double lossStops) {

  /** Checks the ranges. */
  public Lens {
    if (millimetres <= 0) {
      throw new IllegalArgumentException("focal length must be above 0 mm, got " + millimetres);
    }
    if (!(lossStops >= -1 && lossStops <= 1)) {
      throw new IllegalArgumentException("lens loss must be -1 to 1 stop, got " + lossStops);
    }
  }
}
