/**
 * Groups of frames made in the same light, and the reference that each group proposes.
 *
 * <p>Purpose: finds change points along each body's time line, then joins what is the same light,
 * across bodies and across a return to the same place. Inputs: frames on one time line with their
 * scene light, and the photographer's decisions. Guarantees: every frame that may be grouped is in
 * exactly one group; the result depends neither on the order of files nor on a constant clock
 * shift; decisions of the photographer outrank what is found.
 */
@NullMarked
package samelight.engine.lighting;

import org.jspecify.annotations.NullMarked;
