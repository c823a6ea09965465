package samelight.engine.sidecar;

/**
 * A property that a person changed on a carried frame, and that the carry left as the person left
 * it (or moved along with the grade, where it is exposure or white balance).
 *
 * @param frame path relative to the shoot
 * @param property the property
 * @param words what is kept, such as {@code +0.30 EV}
 */
public record HandTouch(String frame, PropertyName property, String words) {}
