package samelight.engine.delivery;

/**
 * The quality of a JPEG on the usual scale of 1 to 100, from its table of luma: that scale's table
 * that comes nearest. The scale is the Independent JPEG Group's (libjpeg, {@code jcparam.c}: {@code
 * jpeg_quality_scaling}) over the table of ITU-T T.81, annex K.1. Editors with tables of their own
 * get the nearest figure.
 */
final class JpegQuality {
  /** T.81 table K.1, in zigzag order. */
  private static final int[] LUMA = {
    16, 11, 12, 14, 12, 10, 16, 14, 13, 14, 18, 17, 16, 19, 24, 40, 26, 24, 22, 22, 24, 49, 35, 37,
    29, 40, 58, 51, 61, 60, 57, 51, 56, 55, 64, 72, 92, 78, 64, 68, 87, 69, 55, 56, 80, 109, 81, 87,
    95, 98, 103, 104, 103, 62, 77, 113, 121, 112, 100, 120, 92, 101, 103, 99
  };

  private JpegQuality() {}

  /**
   * The nearest quality.
   *
   * @param zigzag a table of 64, or an empty array
   * @return 1 to 100, or 0 where there is no table
   */
  static int of(int[] zigzag) {
    if (zigzag.length != 64) {
      return 0;
    }
    int best = 0;
    long least = Long.MAX_VALUE;
    for (int quality = 1; quality <= 100; quality++) {
      int scale = quality < 50 ? 5_000 / quality : 200 - 2 * quality;
      long apart = 0;
      for (int i = 0; i < 64; i++) {
        int step = Math.max(1, Math.min(255, (LUMA[i] * scale + 50) / 100));
        apart += Math.abs(step - zigzag[i]);
      }
      if (apart <= least) { // of equal ones the higher
        least = apart;
        best = quality;
      }
    }
    return best;
  }
}
