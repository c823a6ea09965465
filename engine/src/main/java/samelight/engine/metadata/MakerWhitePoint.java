package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;
import samelight.engine.frame.CameraNeutral;
import samelight.engine.frame.WhitePoint;
import samelight.engine.metadata.Collected.StatedWhitePoint;
import samelight.engine.quantity.Kelvin;

/** The white point as shot, as one maker states it. */
interface MakerWhitePoint {
  /** The white point, or null where the file doesn't state one that can be read for certain. */
  @Nullable StatedWhitePoint read(Collected file);

  /** Sensor ratios from multipliers or levels; null where they can't be right. */
  static @Nullable CameraNeutral neutral(double red, double green, double blue) {
    // Multipliers of real lights lie within 1/16 and 16 of green.
    if (!(red > 0 && green > 0 && blue > 0)) {
      return null;
    }
    double r = green / red;
    double b = green / blue;
    return r >= 1 / 16.0 && r <= 16 && b >= 1 / 16.0 && b <= 16 ? new CameraNeutral(r, b) : null;
  }

  /** A white point of sensor ratios and, where the maker states it, kelvin. */
  static @Nullable StatedWhitePoint of(
      @Nullable CameraNeutral neutral, double kelvin, String source) {
    Kelvin k = kelvin >= 1000 && kelvin <= 50_000 ? new Kelvin(kelvin) : null;
    if (k != null) {
      return new StatedWhitePoint(new WhitePoint(WhitePoint.Kind.KELVIN, k, null, neutral), source);
    }
    return neutral == null
        ? null
        : new StatedWhitePoint(
            new WhitePoint(WhitePoint.Kind.NEUTRAL, null, null, neutral), source);
  }
}
