/**
 * One time line for all bodies, and the sections of the day on it.
 *
 * <p>Purpose: aligns the clocks of the bodies, orders the frames, finds the stretches of the day.
 * Inputs: frames with the times of their own bodies, and clock offsets stated by the photographer.
 * Guarantees: the order doesn't depend on the order of files; a frame without time keeps a place by
 * its file number next to its neighbours and is said; a constant shift of all clocks changes
 * nothing but the times themselves; an offset that the pictures can't support is never applied.
 */
@NullMarked
package samelight.engine.timeline;

import org.jspecify.annotations.NullMarked;
