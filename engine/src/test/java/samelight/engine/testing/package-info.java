/** Measures and helpers that the engine's tests share. */
@NullMarked
package samelight.engine.testing;

import org.jspecify.annotations.NullMarked;
