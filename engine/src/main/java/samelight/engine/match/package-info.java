/**
 * The match: how many stops and mired to add to a frame so that it renders like its ungraded
 * reference, how sure that is, and the recipe that follows from a grade.
 *
 * <p>Purpose: match(f) = (EV100_f - EV100_ref) - (light_f - light_ref), in stops to add to f.
 * Inputs: frames of a group with their scene light as a process over time. Guarantees: zero on the
 * reference, antisymmetric between two frames, additive in the grade; a value that isn't sure
 * enough carries a reason in words; every match keeps the evidence it was made from.
 */
@NullMarked
package samelight.engine.match;

import org.jspecify.annotations.NullMarked;
