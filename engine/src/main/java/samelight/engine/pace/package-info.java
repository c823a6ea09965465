/**
 * The plan of short editing sittings up to the due date.
 *
 * <p>Purpose: {@link samelight.engine.pace.WorkLeft} finds what is left to do in a shoot, {@link
 * samelight.engine.pace.Learning} how long such things took so far, {@link
 * samelight.engine.pace.Planner} puts them into sittings. Inputs: the plan, what the sidecars say,
 * what was done before. Guarantees: the planner is a pure function; nothing is planned twice or
 * left out; the order of the day is kept; no sitting is longer than asked unless it holds one thing
 * alone; a group is split between sittings only where nothing else meets the due date or where it
 * alone is longer than a sitting. What is kept stands in {@code samelight/pace.json}; its schema
 * lies in the resources.
 */
@NullMarked
package samelight.engine.pace;

import org.jspecify.annotations.NullMarked;
