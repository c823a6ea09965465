/**
 * The engine: from frames to groups of one light, to matches, recipes and sidecars.
 *
 * <p>Purpose: {@link samelight.engine.ShootAnalysis} runs the pure part of the work over a list of
 * frames; the packages below hold one step each, in the order of the data flow. Inputs are frames,
 * read from disk by {@code metadata} or made in memory. Guarantees: records are immutable, the same
 * frames in any order give the same result, nothing here prints or ends the process, and no
 * original is ever opened for writing.
 */
@NullMarked
package samelight.engine;

import org.jspecify.annotations.NullMarked;
