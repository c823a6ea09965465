/**
 * The command line: one class per command, shared option groups, exit statuses in one enum.
 *
 * <p>Purpose: turns arguments into engine calls and results into text or JSON. Inputs: arguments,
 * and the shoot that they name. Guarantees: every command answers {@code --help} and {@code
 * --json}; results go to standard output, everything else to standard error; progress shows on a
 * terminal only; text that comes from files can't control the terminal; every refusal says what to
 * do next; the exit status is one of {@link samelight.cli.ExitStatus}.
 */
@NullMarked
package samelight.cli;

import org.jspecify.annotations.NullMarked;
