/**
 * Light as a physical quantity: exposure values, chromaticities, correlated colour temperature.
 *
 * <p>These are the samples' own formulas. They share no code with the engine, so that a mistake in
 * one cannot hide in the other. Inputs and outputs are plain immutable values; every method is a
 * pure function and uses {@link StrictMath}, so that a seed gives the same day on every machine.
 */
@NullMarked
package samelight.samples.light;

import org.jspecify.annotations.NullMarked;
