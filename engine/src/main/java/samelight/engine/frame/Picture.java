package samelight.engine.frame;

import org.jspecify.annotations.Nullable;

/**
 * The picture itself.
 *
 * @param orientation Exif Orientation, 1 to 8; 1 where unknown
 * @param width pixels of the full image, 0 where unknown
 * @param height pixels of the full image, 0 where unknown
 * @param small thumbnail pixels for measuring, or null where the file has none that can be decoded
 * @param smallest the smallest usable embedded JPEG, or null
 * @param largest the largest embedded JPEG, or null; the file itself for a JPEG
 * @param brightening name of a camera mode that brightens the rendering against the raw data
 *     (highlight priority, automatic tone), or null where none is said
 */
public record Picture(
    int orientation,
    int width,
    int height,
    @Nullable SmallImage small,
    @Nullable EmbeddedJpeg smallest,
    @Nullable EmbeddedJpeg largest,
    @Nullable String brightening) {

  /** Nothing known. */
  public static final Picture UNKNOWN = new Picture(1, 0, 0, null, null, null, null);

  /**
   * @throws IllegalArgumentException if orientation isn't 1 to 8
   */
  public Picture {
    if (orientation < 1 || orientation > 8) {
      throw new IllegalArgumentException("orientation must be 1 to 8, was " + orientation);
    }
  }
}
