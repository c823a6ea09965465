package samelight.engine.frame;

/**
 * Where a whole JPEG lies inside a frame's file.
 *
 * @param offset bytes from the start of the file, 0 or more
 * @param length bytes, more than 0
 * @param width pixels, or 0 where unknown
 * @param height pixels, or 0 where unknown
 */
public record EmbeddedJpeg(long offset, long length, int width, int height) {
  /**
   * @throws IllegalArgumentException if a number is negative or the length 0
   */
  public EmbeddedJpeg {
    if (offset < 0 || length <= 0 || width < 0 || height < 0) {
      throw new IllegalArgumentException(
          "embedded JPEG needs offset >= 0, length > 0 and sides >= 0, had "
              + offset
              + ", "
              + length
              + ", "
              + width
              + " x "
              + height);
    }
  }
}
