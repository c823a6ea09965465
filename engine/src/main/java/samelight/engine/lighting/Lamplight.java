package samelight.engine.lighting;

import samelight.engine.timeline.TimedFrame;

/**
 * Where flicker can show: lamps flicker at twice the frequency of the mains, 50 or 60 Hz
 * ([IEEE1789]), so that exposures shorter than a hundredth of a second catch a part of the cycle.
 */
final class Lamplight {
  private static final double MAINS_HALF_CYCLE = 1 / 100.0;

  /** Rooms by lamplight lie below this EV100 (common practice, no source). */
  private static final double BRIGHTEST = 9;

  /** Frames are made darker than their light by a stop at most, mostly. */
  private static final double DARKER = 1;

  private Lamplight() {}

  /** Whether a frame is shorter than a cycle. */
  static boolean brief(TimedFrame f) {
    var time = f.exact().exposureTime();
    return time != null && time.seconds() < MAINS_HALF_CYCLE;
  }

  /** Whether light of this EV100 may come from lamps. */
  static boolean dim(double ev100) {
    return ev100 < BRIGHTEST;
  }

  /** Whether a frame without flash was exposed so that lamps may flicker in it. */
  static boolean flickers(TimedFrame f) {
    return !f.frame().flashFired() && brief(f) && dim(f.ev() - DARKER);
  }
}
