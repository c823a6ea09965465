/**
 * Proofs: a frame's embedded picture rendered with its match, so that a person sees whether a group
 * is even.
 *
 * <p>Purpose: code values to linear light by the body's own tone curve, a white-balance gain in
 * Bradford's cone space, an exposure gain, and back. Inputs: small images, matches, grades, learned
 * responses. Guarantees: nothing to change gives the same picture byte for byte; a pure function;
 * nothing is written. A proof is made from a rendered preview, not from raw data: what was clipped
 * there stays without detail.
 */
@NullMarked
package samelight.engine.proof;

import org.jspecify.annotations.NullMarked;
