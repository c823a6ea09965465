/** Placeholder. */
@NullMarked
package samelight.cli;

import org.jspecify.annotations.NullMarked;
