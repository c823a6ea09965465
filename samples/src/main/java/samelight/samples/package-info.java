/**
 * An invented wedding day as real files, and the truth about it.
 *
 * <p>{@link samelight.samples.SampleShoot} writes a shoot of JPEG and DNG frames from a seed, and
 * beside it, never inside, a truth file: for each frame how far it renders from what was meant, and
 * the colour of its light. {@link samelight.samples.Generate} is its command line. Nothing in this
 * module depends on the engine; all its formulas are its own, so that an error shared by both sides
 * is unlikely. Same seed and options give the same bytes on one Java runtime.
 */
@NullMarked
package samelight.samples;

import org.jspecify.annotations.NullMarked;
