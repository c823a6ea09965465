package samelight.engine.timeline;

import samelight.engine.frame.Frame;
import samelight.engine.photometry.ExactSettings;

/**
 * A frame with its place on the shoot's time line.
 *
 * @param index place in the order of the day, from 0
 * @param frame the frame
 * @param seconds shoot time in seconds since 1970-01-01T00:00 local; of a frame without time, that
 *     of its neighbour by file number; NaN where its body has no time at all
 * @param exact exact settings
 */
public record TimedFrame(int index, Frame frame, double seconds, ExactSettings exact) {
  /** EV100 by exact settings, or NaN where settings are incomplete. */
  public double ev() {
    var ev = exact.ev100();
    return ev == null ? Double.NaN : ev.stops();
  }
}
