/**
 * Decodes one picture of HEVC [H.265] that stands alone, as HEIF files hold them. In: the content
 * of an hvcC box with the parameter sets, and the bytes of an item. Out: the planes as they leave
 * the loop filters, cut to the conformance window, with bit depths and what the stream says about
 * colour.
 *
 * <p>Guarantees: samples equal the standard's bit for bit, or the picture is refused in words;
 * nothing is guessed. Memory is bounded by the picture's size, which is checked before anything is
 * made for it, and time by that size and the length of the data. Nothing but the platform's base
 * module is needed.
 */
@NullMarked
package samelight.engine.hevc;

import org.jspecify.annotations.NullMarked;
