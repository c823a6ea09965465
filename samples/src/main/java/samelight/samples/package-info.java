/** Placeholder. */
@NullMarked
package samelight.samples;

import org.jspecify.annotations.NullMarked;
