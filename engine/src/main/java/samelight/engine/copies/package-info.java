/**
 * Verified copies of cards: from the card to two or more drives, and the check of them any time
 * later.
 *
 * <p>Purpose: {@link samelight.engine.copies.Secure} reads each card once, hashes while it copies,
 * writes all destinations at once and reads every copy back from its drive, past the system's page
 * cache where it can; {@link samelight.engine.copies.Audit} compares a copy with its manifest.
 * Inputs: folders of cards, folders of destinations. Guarantees: a card is opened for reading only;
 * a file stands under its own name only when all its bytes are on the device; no file is written
 * over; what an interruption left is taken up by the next run. The manifest is {@code SHA256SUMS},
 * as {@code sha256sum -c} reads it, and {@code samelight/copies.json} in the copied shoot.
 */
@NullMarked
package samelight.engine.copies;

import org.jspecify.annotations.NullMarked;
