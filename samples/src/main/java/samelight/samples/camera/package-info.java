/**
 * Invented cameras: their dials, marks, sensors and renderings.
 *
 * <p>A body turns light into numbers: dials in exact thirds or halves of a stop with the rounded
 * marks that Exif shows, a sensor with its own colour matrix and noise, a tone curve with its own
 * slope around mid-grey, a clock that is wrong. No maker or model here exists. Everything is an
 * immutable value.
 */
@NullMarked
package samelight.samples.camera;

import org.jspecify.annotations.NullMarked;
