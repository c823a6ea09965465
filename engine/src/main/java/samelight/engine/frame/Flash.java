package samelight.engine.frame;

/**
 * The Exif Flash tag (Exif 2.2, pp. 35-36).
 *
 * @param bits bit 0 fired, 1-2 return light, 3-4 mode, 5 no flash function, 6 red-eye; 0 to 65535
 */
public record Flash(int bits) {
  /**
   * @throws IllegalArgumentException if {@code bits} is out of range
   */
  public Flash {
    if (bits < 0 || bits > 0xFFFF) {
      throw new IllegalArgumentException("flash bits must lie within 0 and 65535, were " + bits);
    }
  }

  /** Whether the camera says that a flash fired (bit 0); a unit may yet have given no light. */
  public boolean fired() {
    return (bits & 1) != 0;
  }
}
