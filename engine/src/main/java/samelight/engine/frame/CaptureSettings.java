package samelight.engine.frame;

import org.jspecify.annotations.Nullable;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.ExposureTime;
import samelight.engine.quantity.FNumber;
import samelight.engine.quantity.Iso;

/**
 * Exposure settings as the camera marked them; exact steps are worked out by {@code photometry}.
 *
 * @param exposureTime null where unknown
 * @param fNumber null where unknown (a lens without contacts says 0)
 * @param iso null where unknown
 * @param bias exposure bias in EV; already contained in the settings, never added to them; null
 *     where unknown
 * @param program Exif ExposureProgram (0 unknown, 1 manual, 2 normal, 3 aperture priority, 4
 *     shutter priority, 5 creative, 6 action, 7 portrait, 8 landscape)
 * @param mode Exif ExposureMode (0 automatic, 1 manual, 2 bracket), or -1 where unknown
 * @param metering Exif MeteringMode (0 unknown, 1 average, 2 centre-weighted, 3 spot, 4 multi-spot,
 *     5 pattern, 6 partial, 255 other)
 */
public record CaptureSettings(
    @Nullable ExposureTime exposureTime,
    @Nullable FNumber fNumber,
    @Nullable Iso iso,
    @Nullable Ev bias,
    int program,
    int mode,
    int metering) {

  /** Nothing known. */
  public static final CaptureSettings UNKNOWN =
      new CaptureSettings(null, null, null, null, 0, -1, 0);

  /** Whether time, aperture and sensitivity are all known. */
  public boolean complete() {
    return exposureTime != null && fNumber != null && iso != null;
  }
}
