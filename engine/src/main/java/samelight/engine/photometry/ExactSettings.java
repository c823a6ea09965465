package samelight.engine.photometry;

import org.jspecify.annotations.Nullable;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.ExposureTime;
import samelight.engine.quantity.FNumber;
import samelight.engine.quantity.Iso;

/**
 * Exposure settings with marks replaced by the exact steps behind them; see {@link ExposureSteps}.
 *
 * @param exposureTime exact, or as read where no step fits; null where unknown
 * @param fNumber exact, or as read where no step fits; null where unknown
 * @param iso exact, or as read where no step fits; null where unknown
 * @param step the body's step sets, as {@link ExposureSteps#describe()} says them
 * @param ev100 exposure value at ISO 100 of these three, or null where one is unknown
 */
public record ExactSettings(
    @Nullable ExposureTime exposureTime,
    @Nullable FNumber fNumber,
    @Nullable Iso iso,
    String step,
    @Nullable Ev ev100) {}
