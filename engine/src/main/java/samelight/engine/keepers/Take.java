package samelight.engine.keepers;

import org.jspecify.annotations.Nullable;

/**
 * What is proposed for one frame, with its figures.
 *
 * @param frame path relative to the shoot
 * @param framing path of the first frame of its framing
 * @param ofFraming frames in the framing, 1 or more
 * @param keep whether to keep it is proposed
 * @param similarTo the kept frame that it is similar to, where it is proposed out, else null
 * @param reason why, in words
 * @param needsEyes what a person should look at, in words; empty where nothing
 * @param sharpness share of the sharpness of the sharpest frame of its framing, 0 to 1; null where
 *     not measured
 * @param atFocusPoint whether it was measured around the camera's focus point
 * @param clipped share of its pixels that are clipped, 0 to 1; null where not measured
 * @param stops brightness less the median of its framing, in stops as rendered; null where not
 *     measured
 */
public record Take(
    String frame,
    String framing,
    int ofFraming,
    boolean keep,
    @Nullable String similarTo,
    String reason,
    String needsEyes,
    @Nullable Double sharpness,
    boolean atFocusPoint,
    @Nullable Double clipped,
    @Nullable Double stops) {
  /**
   * @throws IllegalArgumentException if a share isn't within 0 and 1, or a frame that is proposed
   *     out isn't said to be similar to any
   */
  public Take {
    if ((sharpness != null && !(sharpness >= 0 && sharpness <= 1))
        || (clipped != null && !(clipped >= 0 && clipped <= 1))) {
      throw new IllegalArgumentException(
          "shares must lie within 0 and 1, were " + sharpness + ", " + clipped);
    }
    if (!keep && similarTo == null) {
      throw new IllegalArgumentException(
          "a frame that is proposed out must be similar to one that is kept, was " + frame);
    }
    if (ofFraming < 1) {
      throw new IllegalArgumentException("a framing has 1 frame or more, was " + ofFraming);
    }
  }

  /** The same frame after a person rated it: it is kept. */
  public Take keptByPerson() {
    return new Take(
        frame,
        framing,
        ofFraming,
        true,
        null,
        "you rated it",
        "",
        sharpness,
        atFocusPoint,
        clipped,
        stops);
  }
}
