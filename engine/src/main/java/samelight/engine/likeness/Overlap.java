package samelight.engine.likeness;

/**
 * Displacements at which a level of one view, the small one, is laid on the largest level of
 * another, so that half of the narrower and of the lower of both is common at least.
 *
 * @param wide width of the large view's largest level, in pixels
 * @param high its height
 * @param narrow width of the small view's level
 * @param low its height
 * @param left least displacement across
 * @param right most displacement across
 * @param top least displacement down
 * @param bottom most displacement down
 */
record Overlap(
    int wide, int high, int narrow, int low, int left, int right, int top, int bottom) {
  private static final int LEAST = 4;

  /**
   * Pixels from {@code left} to before {@code right}, from {@code top} to before {@code bottom}.
   */
  record Box(int left, int top, int right, int bottom) {}

  static Overlap of(Scales.Shape large, Scales.Shape small, int level) {
    int wide = large.width(0);
    int high = large.height(0);
    int narrow = small.width(level);
    int low = small.height(level);
    int leastX = Math.max(LEAST, Math.min(wide, narrow) / 2);
    int leastY = Math.max(LEAST, Math.min(high, low) / 2);
    return new Overlap(
        wide, high, narrow, low, leastX - narrow, wide - leastX, leastY - low, high - leastY);
  }

  /** What is common at a displacement, in pixels of the large view. */
  Box inLarge(int x, int y) {
    return new Box(
        Math.max(0, x), Math.max(0, y), Math.min(wide, x + narrow), Math.min(high, y + low));
  }

  /** The same in pixels of the small view. */
  Box inSmall(int x, int y) {
    Box b = inLarge(x, y);
    return new Box(b.left - x, b.top - y, b.right - x, b.bottom - y);
  }

  /** Number of common pixels. */
  int area(int x, int y) {
    Box b = inLarge(x, y);
    return (b.right - b.left) * (b.bottom - b.top);
  }
}
