/**
 * Pictures of a day that never was: places, people, and the rendering of both.
 *
 * <p>A place is painted once as a wide panorama in linear light; a framing is a crop of it with
 * figures in front. The renderer multiplies surfaces with the light that falls on them and with the
 * camera's response, adds noise and applies the body's tone curve. Input is what the day's script
 * decided, output is pixels; nothing here knows about groups, matches or files. Painting needs no
 * display (headless AWT).
 */
@NullMarked
package samelight.samples.picture;

import org.jspecify.annotations.NullMarked;
