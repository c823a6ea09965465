package samelight.engine;

import org.jspecify.annotations.Nullable;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.ExposureTime;
import samelight.engine.quantity.FNumber;
import samelight.engine.quantity.Iso;

/**
 * What photometry says of one frame.
 *
 * @param exposureTime exact step, or null where unknown
 * @param fNumber exact step, or null where unknown
 * @param iso exact step, or null where unknown
 * @param step the body's step set, such as "third stops", or null where unknown
 * @param ev100 exposure value at ISO 100 from exact steps, or null where settings are incomplete
 * @param sceneLight estimated light of the scene in EV100, or null where it can't be estimated
 */
public record FrameLight(
    @Nullable ExposureTime exposureTime,
    @Nullable FNumber fNumber,
    @Nullable Iso iso,
    @Nullable String step,
    @Nullable Ev ev100,
    @Nullable Ev sceneLight) {}
