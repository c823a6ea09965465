/**
 * Sidecars: edit maps, what a carry will write, the journal, the write itself, and the way back.
 *
 * <p>Purpose: writes for each frame an XMP sidecar (ISO 16684-1) with its recipe and, through an
 * edit map, the edit made on its reference. Inputs: frames, groups, matches, grades; sidecars as a
 * raw editor left them. Guarantees: a carry sets its own properties and those that the edit map
 * names, everything else in a sidecar stays byte for byte; a sidecar that can't be understood is
 * never overwritten; old bytes are in the journal before the first new one is on disk; a carry that
 * changes nothing writes nothing; a hand's touch survives; no original is ever opened for writing.
 * No property of any raw editor is known here: users teach theirs. XMPCore stays inside.
 *
 * <p>Order of work: {@link samelight.engine.sidecar.SidecarSession} takes the lock and recovers
 * what a crash left, {@link samelight.engine.sidecar.CarryPlan} decides, {@link
 * samelight.engine.sidecar.Carry} writes, {@link samelight.engine.sidecar.Revert} brings back.
 */
@NullMarked
package samelight.engine.sidecar;

import org.jspecify.annotations.NullMarked;
