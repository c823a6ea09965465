package samelight.engine.frame;

import org.jspecify.annotations.Nullable;

/**
 * What a person or the camera noted on the frame.
 *
 * @param rating xmp:Rating, -1 (rejected) to 5, or null where none
 * @param label xmp:Label, or null where none
 * @param sequence number within a burst or drive sequence as the maker's notes give it, or null
 * @param focusX focus point, 0 (left) to 1 (right) of the stored image, or null
 * @param focusY focus point, 0 (top) to 1 (bottom) of the stored image, or null
 */
public record Marks(
    @Nullable Double rating,
    @Nullable String label,
    @Nullable Integer sequence,
    @Nullable Double focusX,
    @Nullable Double focusY) {
  /** Nothing noted. */
  public static final Marks NONE = new Marks(null, null, null, null, null);

  /**
   * Whether somebody rated the frame: some cameras write 0, which stands for "not rated"
   * (xmp:Rating, ISO 16684-1).
   */
  public boolean rated() {
    return rating != null && rating != 0;
  }

  /** Whether a person rejected the frame (xmp:Rating -1, ISO 16684-1). */
  public boolean rejected() {
    return rating != null && rating < 0;
  }
}
