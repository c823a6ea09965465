package samelight.engine.hevc;

/** Orders in which coefficients are coded ([H.265], 6.5.3 to 6.5.5), as places y * side + x. */
final class Scans {
  static final int DIAGONAL = 0;
  static final int HORIZONTAL = 1;
  static final int VERTICAL = 2;

  /** By order, then log2 of the side. */
  private static final int[][][] ALL = new int[3][4][];

  static {
    for (int log2 = 0; log2 < 4; log2++) {
      ALL[DIAGONAL][log2] = diagonals(1 << log2);
      ALL[HORIZONTAL][log2] = rows(1 << log2);
      ALL[VERTICAL][log2] = columns(1 << log2);
    }
  }

  private Scans() {}

  static int[] diagonal(int log2) {
    return ALL[DIAGONAL][log2];
  }

  /**
   * An order.
   *
   * @param order one of the three
   * @param log2 of the side, 0 to 3
   */
  static int[] of(int order, int log2) {
    return ALL[order][log2];
  }

  /** From the lower left up to the right. */
  private static int[] diagonals(int n) {
    int[] scan = new int[n * n];
    int i = 0;
    for (int sum = 0; sum < 2 * n - 1; sum++) {
      for (int y = Math.min(sum, n - 1); y >= 0 && sum - y < n; y--) {
        scan[i++] = y * n + sum - y;
      }
    }
    return scan;
  }

  private static int[] rows(int n) {
    int[] scan = new int[n * n];
    for (int i = 0; i < scan.length; i++) {
      scan[i] = i;
    }
    return scan;
  }

  private static int[] columns(int n) {
    int[] scan = new int[n * n];
    for (int i = 0; i < scan.length; i++) {
      scan[i] = i % n * n + i / n;
    }
    return scan;
  }
}
