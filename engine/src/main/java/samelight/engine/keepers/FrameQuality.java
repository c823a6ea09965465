package samelight.engine.keepers;

import org.jspecify.annotations.Nullable;

/**
 * What was measured on a frame.
 *
 * @param frame path relative to the shoot
 * @param sharpness null where there is no preview of sufficient size that decodes
 * @param atFocusPoint whether it was measured around the focus point that the maker's notes give,
 *     else around the middle
 */
public record FrameQuality(String frame, @Nullable Sharpness sharpness, boolean atFocusPoint) {}
