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
record Overlap(int wide, int high, int narrow, int low, int left, int right, int top, int bottom) {
  private static final int LEAST = 4;

  /** Keeps what has no texture from being divided by nothing. */
  private static final float LEAST_ENERGY = 3e-5f;

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

  /**
   * Writes, for a displacement down and all across, the root of the number of common pixels over
   * the root of the energy that the large view has there.
   *
   * @param sums of squares above and left of each pixel of the large view's largest level
   */
  void large(float[] sums, int y, float[] out, int at) {
    int low = Math.max(0, y) * (wide + 1);
    int high = Math.min(this.high, y + this.low) * (wide + 1);
    int lines = Math.floorDiv(high - low, wide + 1);
    for (int x = left; x <= right; x++) {
      int from = Math.max(0, x);
      int to = Math.min(wide, x + narrow);
      float energy = sums[high + to] - sums[high + from] - sums[low + to] + sums[low + from];
      out[at + x - left] = (float) Math.sqrt((to - from) * lines / (energy + LEAST_ENERGY));
    }
  }

  /**
   * Writes, for a displacement down and all across, 1 over the root of the energy that the small
   * view has in what is common.
   *
   * @param sums of squares above and left of each pixel of the small view's level
   */
  void small(float[] sums, int y, float[] out, int at) {
    int low = Math.max(0, -y) * (narrow + 1);
    int high = Math.min(this.low, this.high - y) * (narrow + 1);
    for (int x = left; x <= right; x++) {
      int from = Math.max(0, -x);
      int to = Math.min(narrow, wide - x);
      float energy = sums[high + to] - sums[high + from] - sums[low + to] + sums[low + from];
      out[at + x - left] = (float) Math.sqrt(1 / (energy + LEAST_ENERGY));
    }
  }
}
