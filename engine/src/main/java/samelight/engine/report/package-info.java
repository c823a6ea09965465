/**
 * What a person gets to see of a shoot: the summary of its groups, and {@code report.html}.
 *
 * <p>Purpose: one summary, worked out once, from which the terminal, the JSON and the page are
 * made. Inputs: frames, their analysis, decisions, the account of files. Guarantees: every file is
 * counted in exactly one place; text that comes from files can't become markup; the page needs no
 * network; nothing here writes to disk.
 */
@NullMarked
package samelight.engine.report;

import org.jspecify.annotations.NullMarked;
