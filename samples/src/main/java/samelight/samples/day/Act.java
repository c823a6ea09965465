package samelight.samples.day;

import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.samples.light.Light;
import samelight.samples.picture.Place;

/**
 * A stretch of the day.
 *
 * @param name its word in the truth file
 * @param pause seconds of quiet before it
 * @param leastSeconds how long it lasts at least
 * @param shifts who photographs what in it; several at once
 */
record Act(String name, double pause, double leastSeconds, List<Shift> shifts) {

  /** Where the camera looks, and the light there. */
  record View(Place place, Course light, Other other) {}

  /** A second light in the same view, for a moment. */
  @FunctionalInterface
  interface Other {
    Light at(double seconds, long framing);
  }

  /** Who stands before the camera. */
  enum Cast {
    BRIDE_DRESSING,
    GROOM_DRESSING,
    COUPLE,
    GUESTS,
    FAMILY,
    THINGS,
    DANCERS
  }

  /** How the photographer works. */
  enum Mode {
    MANUAL,
    APERTURE_PRIORITY,
    FLASH
  }

  /** A preset white balance. */
  record Preset(double kelvin, int lightSource) {}

  /**
   * One photographer's share of an act.
   *
   * @param body index of the body
   * @param weight share of the day's frames
   * @param views the views, the first one most
   * @param mode how exposure is found
   * @param preset white balance, or null for automatic
   * @param av aperture in sixths
   * @param slowest longest time in sixths of Tv
   * @param cast who is in the frames
   * @param special trouble that this act can show, or null
   */
  record Shift(
      int body,
      double weight,
      List<View> views,
      Mode mode,
      @Nullable Preset preset,
      int av,
      int slowest,
      Cast cast,
      @Nullable Trouble special) {}
}
