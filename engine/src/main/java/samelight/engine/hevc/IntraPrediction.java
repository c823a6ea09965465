package samelight.engine.hevc;

import java.util.Arrays;

/**
 * Predicts a block from its neighbours ([H.265], 8.4.4.2). They stand in one row of 4 n + 1: from
 * the lower left up to the corner at 2 n, then to the right.
 */
final class IntraPrediction {
  private static final int PLANAR = 0;
  private static final int DC = 1;
  private static final int HORIZONTAL = 10;
  private static final int DIAGONAL = 18;
  private static final int VERTICAL = 26;

  /** Table 8-5, from mode 2 on. */
  private static final int[] ANGLES = {
    32, 26, 21, 17, 13, 9, 5, 2, 0, -2, -5, -9, -13, -17, -21, -26, -32, -26, -21, -17, -13, -9, -5,
    -2, 0, 2, 5, 9, 13, 17, 21, 26, 32
  };

  /** Table 8-6, from mode 11 to 25. */
  private static final int[] INVERSE = {
    -4096, -1638, -910, -630, -482, -390, -315, -256, -315, -390, -482, -630, -910, -1638, -4096
  };

  private final CodedPicture picture;
  private final SequenceParameters sps;
  private final int[] around = new int[129];
  private final int[] filtered = new int[129];
  private final int[] line = new int[97];

  // The block that is predicted.
  private int component;
  private int left;
  private int top;
  private int n;
  private int log2;
  private short[] plane = new short[0];
  private int stride;

  IntraPrediction(CodedPicture picture) {
    this.picture = picture;
    this.sps = picture.sps;
  }

  /**
   * Predicts a block.
   *
   * @param ofComponent 0 luma, 1 Cb, 2 Cr
   * @param x in samples of the component
   * @param y in samples of the component
   * @param lossless whether its coding unit has cu_transquant_bypass_flag
   * @param region slice and tile whose samples may be used
   */
  void predict(int ofComponent, int x, int y, int ofLog2, int mode, boolean lossless, int region) {
    component = ofComponent;
    left = x;
    top = y;
    log2 = ofLog2;
    n = 1 << log2;
    plane = picture.planes[component];
    stride = picture.widths[component];
    gather(region);
    int[] from = smoothed(mode) ? smooth() : around;
    switch (mode) {
      case PLANAR -> planar(from);
      case DC -> dc(from);
      default -> angular(from, mode, sps.implicitDifferences && lossless);
    }
  }

  /** Collects the neighbours; what isn't there takes the value before it (8.4.4.2.2). */
  private void gather(int region) {
    int across = component == 0 ? 1 : sps.subWidth();
    int down = component == 0 ? 1 : sps.subHeight();
    int rowsAtOnce = 4 / down;
    int columnsAtOnce = 4 / across;
    int known = -1;
    for (int row = 2 * n - rowsAtOnce; row >= 0; row -= rowsAtOnce) {
      int at = 2 * n - rowsAtOnce - row;
      if (picture.available(left * across - 1, (top + row) * down, region)) {
        int sample = (top + row + rowsAtOnce - 1) * stride + left - 1;
        for (int i = 0; i < rowsAtOnce; i++, sample -= stride) {
          around[at + i] = plane[sample];
        }
        known = known(known, at);
      } else {
        missing(known, at, rowsAtOnce);
      }
    }
    if (picture.available(left * across - 1, top * down - 1, region)) {
      around[2 * n] = plane[(top - 1) * stride + left - 1];
      known = known(known, 2 * n);
    } else {
      missing(known, 2 * n, 1);
    }
    for (int column = 0; column < 2 * n; column += columnsAtOnce) {
      int at = 2 * n + 1 + column;
      if (picture.available((left + column) * across, top * down - 1, region)) {
        int sample = (top - 1) * stride + left + column;
        for (int i = 0; i < columnsAtOnce; i++) {
          around[at + i] = plane[sample + i];
        }
        known = known(known, at);
      } else {
        missing(known, at, columnsAtOnce);
      }
    }
    if (known < 0) {
      Arrays.fill(around, 0, 4 * n + 1, 1 << (sps.bitDepth[component] - 1));
    }
  }

  /** The first that is known fills all before it. */
  private int known(int known, int at) {
    if (known >= 0) {
      return known;
    }
    Arrays.fill(around, 0, at, around[at]);
    return at;
  }

  private void missing(int known, int at, int count) {
    if (known >= 0) {
      Arrays.fill(around, at, at + count, around[at - 1]);
    }
  }

  /** Whether the neighbours are smoothed first (8.4.4.2.3). */
  private boolean smoothed(int mode) {
    if (sps.noSmoothing || mode == DC || n == 4 || (component > 0 && sps.chromaFormat != 3)) {
      return false;
    }
    int off = Math.min(Math.abs(mode - VERTICAL), Math.abs(mode - HORIZONTAL));
    return off > (n == 8 ? 7 : n == 16 ? 1 : 0);
  }

  private int[] smooth() {
    int end = 4 * n;
    int corner = around[2 * n];
    filtered[0] = around[0];
    filtered[end] = around[end];
    if (sps.strongSmoothing && component == 0 && n == 32 && even(corner)) {
      for (int i = 1; i < 64; i++) {
        filtered[i] = ((64 - i) * around[0] + i * corner + 32) >> 6;
        filtered[64 + i] = ((64 - i) * corner + i * around[end] + 32) >> 6;
      }
      filtered[64] = corner;
      return filtered;
    }
    for (int i = 1; i < end; i++) {
      filtered[i] = (around[i - 1] + 2 * around[i] + around[i + 1] + 2) >> 2;
    }
    return filtered;
  }

  /** Whether both sides run straight enough to be drawn as lines. */
  private boolean even(int corner) {
    int limit = 1 << (sps.bitDepth[0] - 5);
    return Math.abs(corner + around[4 * n] - 2 * around[3 * n]) < limit
        && Math.abs(corner + around[0] - 2 * around[n]) < limit;
  }

  private void planar(int[] from) {
    int corner = 2 * n;
    int right = from[3 * n + 1];
    int below = from[n - 1];
    for (int y = 0; y < n; y++) {
      int at = (top + y) * stride + left;
      int beside = from[corner - 1 - y];
      for (int x = 0; x < n; x++) {
        int v =
            (n - 1 - x) * beside
                + (x + 1) * right
                + (n - 1 - y) * from[corner + 1 + x]
                + (y + 1) * below
                + n;
        plane[at + x] = (short) (v >> (log2 + 1));
      }
    }
  }

  private void dc(int[] from) {
    int corner = 2 * n;
    int sum = n;
    for (int i = 1; i <= n; i++) {
      sum += from[corner - i] + from[corner + i];
    }
    int v = sum >> (log2 + 1);
    for (int y = 0; y < n; y++) {
      int at = (top + y) * stride + left;
      Arrays.fill(plane, at, at + n, (short) v);
    }
    if (component == 0 && n < 32) {
      int at = top * stride + left;
      plane[at] = (short) ((from[corner - 1] + 2 * v + from[corner + 1] + 2) >> 2);
      for (int i = 1; i < n; i++) {
        plane[at + i] = (short) ((from[corner + 1 + i] + 3 * v + 2) >> 2);
        plane[at + i * stride] = (short) ((from[corner - 1 - i] + 3 * v + 2) >> 2);
      }
    }
  }

  private void angular(int[] from, int mode, boolean plainEdges) {
    boolean upright = mode >= DIAGONAL;
    int angle = ANGLES[mode - 2];
    // Along the main side steps go one way, along the other the other way.
    int step = upright ? 1 : -1;
    int corner = 2 * n;
    int most = angle < 0 ? n : 2 * n;
    for (int i = 0; i <= most; i++) {
      line[n + i] = from[corner + step * i];
    }
    int least = (n * angle) >> 5;
    for (int i = -1; least < -1 && i >= least; i--) {
      line[n + i] = from[corner - step * ((i * INVERSE[mode - 11] + 128) >> 8)];
    }
    int alongLine = upright ? 1 : stride;
    int acrossLine = upright ? stride : 1;
    int start = top * stride + left;
    for (int k = 0; k < n; k++) {
      int whole = (((k + 1) * angle) >> 5) + n + 1;
      int part = (k + 1) * angle & 31;
      int at = start + k * acrossLine;
      for (int i = 0; i < n; i++, at += alongLine) {
        int v = line[whole + i];
        if (part != 0) {
          v = ((32 - part) * v + part * line[whole + i + 1] + 16) >> 5;
        }
        plane[at] = (short) v;
      }
    }
    if (angle == 0 && component == 0 && n < 32 && !plainEdges) {
      straightEdge(from, step, start, acrossLine);
    }
  }

  /** The edge beside the main side follows the neighbours there. */
  private void straightEdge(int[] from, int step, int start, int acrossLine) {
    int corner = 2 * n;
    int most = (1 << sps.bitDepth[0]) - 1;
    int first = from[corner + step];
    for (int k = 0; k < n; k++) {
      int v = first + ((from[corner - step * (k + 1)] - from[corner]) >> 1);
      plane[start + k * acrossLine] = (short) Math.max(0, Math.min(most, v));
    }
  }
}
