/**
 * Exposure arithmetic: from marked camera settings to exact steps, exposure values and luminance.
 *
 * <p>Purpose: one place for the formulas of Exif Annex C, ISO 2720 and IEC 61966-2-1, and for the
 * exact steps behind the rounded numbers that cameras mark. Inputs: settings as read, in the types
 * of {@code quantity} and {@code frame}. Guarantees: pure functions without state; a mark is made
 * exact only where the body's own marks show that it works in steps, and stays as read otherwise;
 * whatever is unknown in the input is unknown in the result. Exposure values are relative to ISO
 * 100 unless said otherwise.
 */
@NullMarked
package samelight.engine.photometry;

import org.jspecify.annotations.NullMarked;
