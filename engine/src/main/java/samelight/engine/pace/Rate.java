package samelight.engine.pace;

import java.time.Duration;

/**
 * How long one of a kind of task takes.
 *
 * @param time of one reference, one framing, or one frame looked through
 * @param samples how many times were measured
 * @param learned whether {@code time} is their median; else it is the first guess
 */
public record Rate(Duration time, int samples, boolean learned) {}
