/**
 * Where a job stands, file by file and frame by frame.
 *
 * <p>Purpose: {@link samelight.engine.account.Standing} says of each frame how far it is, {@link
 * samelight.engine.account.FolderAccount} puts every file of the shoot, and of the cards'
 * manifests, into exactly one line, {@link samelight.engine.account.FrameTrace} follows one frame
 * from its card to its delivered name. Inputs: what was read, the plan, the sidecars and journals,
 * a walk over the folders as they are now, and which frames have exports. Guarantees: nothing is
 * written and no lock is taken; no picture is read again but for the checksums of a traced frame;
 * what isn't known is said to be unknown.
 */
@NullMarked
package samelight.engine.account;

import org.jspecify.annotations.NullMarked;
