package samelight.engine.sidecar;

import org.jspecify.annotations.Nullable;

/**
 * What happened, or will happen, to one frame in a carry.
 *
 * @param frame path relative to the shoot
 * @param group id of its group, or null where it is in none
 * @param sidecar path of its sidecar relative to the shoot, or null where none was determined
 * @param outcome what happened
 * @param detail more in words, such as the finding in an unreadable sidecar; empty where there is
 *     none
 */
public record FrameOutcome(
    String frame,
    @Nullable String group,
    @Nullable String sidecar,
    Outcome outcome,
    String detail) {}
