package samelight.samples.day;

import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.samples.camera.Body;
import samelight.samples.camera.Exposure;
import samelight.samples.camera.Lens;
import samelight.samples.light.Light;
import samelight.samples.picture.Composition;

/**
 * One press of the shutter, with all that is true about it.
 *
 * @param body the body
 * @param day number of the day, from 0
 * @param seconds true time in seconds since ten in the morning of that day
 * @param act act of the script
 * @param view which light it was made in: the same word means the same light
 * @param framing number of its framing, unique within the shoot
 * @param composition what it shows
 * @param exposure dials
 * @param aperturePriority whether the body chose the time
 * @param bias exposure bias in sixths of a stop, already in the dials
 * @param lens the lens
 * @param subject light on the subject, flash included
 * @param ground light behind the subject
 * @param other the place's other light
 * @param ambientEv EV100 of the light on the subject without flash
 * @param gain stops by which the subject comes out brighter than meant
 * @param asShot what the camera took for white; its strength is without meaning
 * @param preset Exif LightSource of a preset white balance, or null for automatic
 * @param fired whether the flash bit is set
 * @param flashed whether the flash gave light
 * @param bracket step of an exposure bracket in sixths of a stop, or null
 * @param orientation Exif Orientation: 1, 6, 8
 * @param bandDepth stops of banding, 0 for none
 * @param troubles what makes it hard
 * @param noiseSeed for its noise
 */
public record Shot(
    Body body,
    int day,
    double seconds,
    String act,
    String view,
    int framing,
    Composition composition,
    Exposure exposure,
    boolean aperturePriority,
    int bias,
    Lens lens,
    Light subject,
    Light ground,
    Light other,
    double ambientEv,
    double gain,
    Light asShot,
    @Nullable Integer preset,
    boolean fired,
    boolean flashed,
    @Nullable Integer bracket,
    int orientation,
    double bandDepth,
    Set<Trouble> troubles,
    long noiseSeed) {}
