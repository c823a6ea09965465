package samelight.engine.timeline;

import org.jspecify.annotations.Nullable;
import samelight.engine.frame.BodyId;

/**
 * What is added to a body's clock to get the shoot's time.
 *
 * @param body the body
 * @param offsetSeconds seconds to add; 0 where nothing better is known
 * @param sigmaSeconds one standard deviation, or null where the offset was stated or is not known
 * @param source how the offset is known
 */
public record BodyClock(
    BodyId body, double offsetSeconds, @Nullable Double sigmaSeconds, Source source) {
  /** How a clock offset is known. */
  public enum Source {
    /** The body that gives the shoot its time. */
    SHOOT,
    /** Stated by the photographer. */
    STATED,
    /** Found from the pictures' own evidence. */
    PICTURES,
    /** By the time zones that the cameras recorded. */
    ZONE,
    /** Not known: the body's own time is used and said to be unaligned. */
    UNKNOWN
  }
}
