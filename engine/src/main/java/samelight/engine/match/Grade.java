package samelight.engine.match;

import org.jspecify.annotations.Nullable;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;

/**
 * The edit made on a reference, as far as it is compensated.
 *
 * @param exposure stops by which the reference was brightened
 * @param kelvin colour temperature it was set to, or null where left as shot
 * @param duv tint it was set to, or null where left alone
 */
public record Grade(Ev exposure, @Nullable Kelvin kelvin, @Nullable Duv duv) {}
