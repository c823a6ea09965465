/**
 * What is known of one exposure, as plain immutable values.
 *
 * <p>Purpose: the common language of all steps; a {@link samelight.engine.frame.Frame} made in
 * memory is as good as one read from a file. Inputs: values as a reader found them. Guarantees:
 * unknown is {@code null} (or an {@code UNKNOWN} constant), never a guess; times are local camera
 * times until the clocks are aligned; paths are relative to the shoot and use {@code /}; every
 * record refuses values outside its stated range; nothing here reads files.
 */
@NullMarked
package samelight.engine.frame;

import org.jspecify.annotations.NullMarked;
