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
 * @param lensLoss stops that the lens passes less than its mark says, where a shoot showed it; else
 *     0
 */
public record TimedFrame(
    int index, Frame frame, double seconds, ExactSettings exact, double lensLoss) {
  /** A frame whose lens passes what its mark says. */
  public TimedFrame(int index, Frame frame, double seconds, ExactSettings exact) {
    this(index, frame, seconds, exact, 0);
  }

  /** The same frame with a lens that loses this many stops. */
  public TimedFrame losing(double stops) {
    return new TimedFrame(index, frame, seconds, exact, stops);
  }

  /** EV100 by exact settings and what the lens loses, or NaN where settings are incomplete. */
  public double ev() {
    var ev = exact.ev100();
    return ev == null ? Double.NaN : ev.stops() + lensLoss;
  }
}
