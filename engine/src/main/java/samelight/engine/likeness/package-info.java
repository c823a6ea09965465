/**
 * What two pictures share: framings, and the same background seen again at another crop.
 *
 * <p>Purpose: where two frames show the same thing, the ratio of their pixels is the ratio of their
 * exposures, free of what dress and suit do to an average. Inputs: small images with the response
 * of their bodies. Guarantees: a result is either verified patch by patch or absent; swapping two
 * frames negates their gain within its error; cost for one pair doesn't depend on the size of the
 * files; nothing here knows of time or of settings.
 */
@NullMarked
package samelight.engine.likeness;

import org.jspecify.annotations.NullMarked;
