/** Placeholder. */
@NullMarked
package samelight.engine;

import org.jspecify.annotations.NullMarked;
