package samelight.engine.frame;

import org.jspecify.annotations.Nullable;

/**
 * What was in front of the sensor.
 *
 * @param lens lens name or id as the file says, or null where unknown
 * @param focalLengthMm focal length in millimetres, or null where unknown
 */
public record Optics(@Nullable String lens, @Nullable Double focalLengthMm) {
  /** Nothing known. */
  public static final Optics UNKNOWN = new Optics(null, null);
}
