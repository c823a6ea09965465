/**
 * Decisions of a photographer who looks at the groups: what each means for the plan.
 *
 * <p>Purpose: from the decisions so far and one more, the decisions that make exactly the groups
 * that the photographer sees and wants. Inputs: decisions, and a function that groups the shoot
 * under any decisions. Guarantees: no group changes but those that were meant; what can't be done
 * is refused with the reason; pure, writes nothing.
 */
@NullMarked
package samelight.engine.review;

import org.jspecify.annotations.NullMarked;
