/**
 * What samelight keeps in a shoot: {@code samelight/frames.json}, {@code plan.json} and the small
 * images beside them.
 *
 * <p>Purpose: what was read is not read again, and what the photographer decided outlives every
 * regrouping. Inputs: frames, an analysis, decisions. Guarantees: reading is strict, so a file that
 * was edited into nonsense is refused with the line and the field, and nothing is overwritten
 * because of it; paths can't leave the shoot; writing is durable, under the shoot's lock; memory
 * stays small, since JSON is streamed and pixels lie in {@code small-images.bin}, outside the heap.
 * JSON Schemas of both files lie beside the code as resources.
 */
@NullMarked
package samelight.engine.store;

import org.jspecify.annotations.NullMarked;
