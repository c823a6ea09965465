/**
 * Files of a shoot: safe paths, durable writes, one writer at a time.
 *
 * <p>Purpose: the only place where the engine writes to disk; everything that is written goes
 * through {@link samelight.engine.files.DurableFile}, every path that comes from a file goes
 * through {@link samelight.engine.files.ShootPaths}, every command that writes holds a {@link
 * samelight.engine.files.ShootLock}. Inputs: paths relative to the shoot with {@code /}, whole
 * contents as bytes, or as a writer of them where they are large. Guarantees: after a crash a file
 * is wholly old or wholly new; no path leaves the shoot; a problem is told as a {@link
 * samelight.engine.files.ShootException} with the file, the rule and the actual value.
 */
@NullMarked
package samelight.engine.files;

import org.jspecify.annotations.NullMarked;
