package samelight.engine.frame;

import org.jspecify.annotations.Nullable;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Kelvin;

/**
 * The white point that the camera used, with what is known of it.
 *
 * @param kind where it comes from, so what it may be used for
 * @param kelvin correlated colour temperature, or null where unknown
 * @param duv distance from the Planckian locus, or null where unknown
 * @param neutral sensor ratios, or null where unknown; comparable within one body
 */
public record WhitePoint(
    Kind kind, @Nullable Kelvin kelvin, @Nullable Duv duv, @Nullable CameraNeutral neutral) {

  /** How a white point is known. */
  public enum Kind {
    /** Sensor ratios and the maker's colour matrices: kelvin and Duv computed. */
    NEUTRAL_AND_MATRIX,
    /** Chromaticity stated by the file. */
    CHROMATICITY,
    /** Kelvin stated by the maker's notes. */
    KELVIN,
    /** Sensor ratios only: no kelvin, but ratios between frames of one body hold. */
    NEUTRAL,
    /** A light source preset of Exif: its kelvin is nominal. */
    LIGHT_SOURCE,
    /** Nothing known. */
    UNKNOWN
  }

  /** Nothing known. */
  public static final WhitePoint UNKNOWN = new WhitePoint(Kind.UNKNOWN, null, null, null);
}
