package samelight.engine.hevc;

/**
 * The deblocking filter ([H.265], 8.7.2). In a picture that stands alone every edge that is
 * filtered has a boundary strength of 2.
 */
final class Deblocking {
  private static final int MOST_TC_INDEX = 53;

  /** Table 8-12, beta'. */
  private static final int[] BETA = new int[52];

  /** Table 8-12, tC'. */
  private static final int[] TC = {
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 3,
    3, 3, 3, 4, 4, 4, 5, 5, 6, 6, 7, 8, 9, 10, 11, 13, 14, 16, 18, 20, 22, 24
  };

  static {
    for (int q = 16; q < 52; q++) {
      BETA[q] = q <= 28 ? q - 10 : 2 * q - 38;
    }
  }

  private final CodedPicture picture;
  private final SequenceParameters sps;

  Deblocking(CodedPicture picture) {
    this.picture = picture;
    this.sps = picture.sps;
  }

  /** Filters the whole picture: first all edges that stand upright, then all that lie. */
  void run() {
    edges(CodedPicture.EDGE_LEFT);
    edges(CodedPicture.EDGE_TOP);
  }

  private void edges(int which) {
    boolean upright = which == CodedPicture.EDGE_LEFT;
    for (int row = 0; row < picture.unitsHigh; row++) {
      for (int column = 0; column < picture.unitsWide; column++) {
        int unit = row * picture.unitsWide + column;
        if ((picture.edges[unit] & which) != 0) {
          edge(unit, column * 4, row * 4, upright);
        }
      }
    }
  }

  private void edge(int unit, int x, int y, boolean upright) {
    int other = upright ? unit - 1 : unit - picture.unitsWide;
    SliceHeader slice = picture.slice(picture.ctb(x, y));
    int qp = (picture.qp[unit] + picture.qp[other] + 1) >> 1;
    boolean keepThere = picture.untouched[other];
    boolean keepHere = picture.untouched[unit];
    luma(x, y, upright, qp, slice, keepThere, keepHere);
    for (int c = 1; c < picture.components; c++) {
      int across = upright ? x / sps.subWidth() : y / sps.subHeight();
      if ((across & 7) == 0) {
        chroma(c, x, y, upright, qp, slice, keepThere, keepHere);
      }
    }
  }

  private int tc(int qp, SliceHeader slice, int depth) {
    int q = Math.max(0, Math.min(MOST_TC_INDEX, qp + 2 + slice.tcOffset));
    return TC[q] << (depth - 8);
  }

  private void luma(
      int x,
      int y,
      boolean upright,
      int qp,
      SliceHeader slice,
      boolean keepThere,
      boolean keepHere) {
    int beta = BETA[Math.max(0, Math.min(51, qp + slice.betaOffset))] << (sps.bitDepth[0] - 8);
    int tc = tc(qp, slice, sps.bitDepth[0]);
    short[] s = picture.planes[0];
    int stride = picture.widths[0];
    int over = upright ? 1 : stride;
    int along = upright ? stride : 1;
    int first = y * stride + x;
    int last = first + 3 * along;
    int p0 = bend(s, first - over, -over);
    int q0 = bend(s, first, over);
    int p3 = bend(s, last - over, -over);
    int q3 = bend(s, last, over);
    if (p0 + q0 + p3 + q3 >= beta) {
      return;
    }
    boolean strong =
        strong(s, first, over, 2 * (p0 + q0), beta, tc)
            && strong(s, last, over, 2 * (p3 + q3), beta, tc);
    int side = (beta + (beta >> 1)) >> 3;
    boolean more = p0 + p3 < side;
    boolean moreHere = q0 + q3 < side;
    for (int i = 0, at = first; i < 4; i++, at += along) {
      if (strong) {
        strongLine(s, at, over, tc, keepThere, keepHere);
      } else {
        weakLine(s, at, over, tc, more && !keepThere, moreHere && !keepHere, keepThere, keepHere);
      }
    }
  }

  /** How much three samples bend. */
  private static int bend(short[] s, int at, int step) {
    return Math.abs(s[at + 2 * step] - 2 * s[at + step] + s[at]);
  }

  private static boolean strong(short[] s, int at, int over, int bends, int beta, int tc) {
    int p = Math.abs(s[at - 4 * over] - s[at - over]);
    int q = Math.abs(s[at] - s[at + 3 * over]);
    return bends < beta >> 2
        && p + q < beta >> 3
        && Math.abs(s[at - over] - s[at]) < (5 * tc + 1) >> 1;
  }

  private static void strongLine(
      short[] s, int at, int over, int tc, boolean keepThere, boolean keepHere) {
    int p3 = s[at - 4 * over];
    int p2 = s[at - 3 * over];
    int p1 = s[at - 2 * over];
    int p0 = s[at - over];
    int q0 = s[at];
    int q1 = s[at + over];
    int q2 = s[at + 2 * over];
    int q3 = s[at + 3 * over];
    if (!keepThere) {
      s[at - over] = near((p2 + 2 * p1 + 2 * p0 + 2 * q0 + q1 + 4) >> 3, p0, 2 * tc);
      s[at - 2 * over] = near((p2 + p1 + p0 + q0 + 2) >> 2, p1, 2 * tc);
      s[at - 3 * over] = near((2 * p3 + 3 * p2 + p1 + p0 + q0 + 4) >> 3, p2, 2 * tc);
    }
    if (!keepHere) {
      s[at] = near((p1 + 2 * p0 + 2 * q0 + 2 * q1 + q2 + 4) >> 3, q0, 2 * tc);
      s[at + over] = near((p0 + q0 + q1 + q2 + 2) >> 2, q1, 2 * tc);
      s[at + 2 * over] = near((p0 + q0 + q1 + 3 * q2 + 2 * q3 + 4) >> 3, q2, 2 * tc);
    }
  }

  private static short near(int v, int to, int by) {
    return (short) Math.max(to - by, Math.min(to + by, v));
  }

  private void weakLine(
      short[] s,
      int at,
      int over,
      int tc,
      boolean moreThere,
      boolean moreHere,
      boolean keepThere,
      boolean keepHere) {
    int p2 = s[at - 3 * over];
    int p1 = s[at - 2 * over];
    int p0 = s[at - over];
    int q0 = s[at];
    int q1 = s[at + over];
    int q2 = s[at + 2 * over];
    int delta = (9 * (q0 - p0) - 3 * (q1 - p1) + 8) >> 4;
    if (Math.abs(delta) >= tc * 10) {
      return;
    }
    delta = near(delta, 0, tc);
    if (!keepThere) {
      s[at - over] = clipped(p0 + delta, 0);
    }
    if (!keepHere) {
      s[at] = clipped(q0 - delta, 0);
    }
    if (moreThere) {
      int d = near((((p2 + p0 + 1) >> 1) - p1 + delta) >> 1, 0, tc >> 1);
      s[at - 2 * over] = clipped(p1 + d, 0);
    }
    if (moreHere) {
      int d = near((((q2 + q0 + 1) >> 1) - q1 - delta) >> 1, 0, tc >> 1);
      s[at + over] = clipped(q1 + d, 0);
    }
  }

  private short clipped(int v, int component) {
    return (short) Math.max(0, Math.min((1 << sps.bitDepth[component]) - 1, v));
  }

  private void chroma(
      int c,
      int x,
      int y,
      boolean upright,
      int qp,
      SliceHeader slice,
      boolean keepThere,
      boolean keepHere) {
    int chromaQp = SliceState.chromaQp(sps, qp + picture.pps.chromaOffset[c]);
    int tc = tc(chromaQp, slice, sps.bitDepth[c]);
    short[] s = picture.planes[c];
    int stride = picture.widths[c];
    int over = upright ? 1 : stride;
    int along = upright ? stride : 1;
    int count = 4 / (upright ? sps.subHeight() : sps.subWidth());
    int at = y / sps.subHeight() * stride + x / sps.subWidth();
    for (int i = 0; i < count; i++, at += along) {
      int p0 = s[at - over];
      int q0 = s[at];
      int delta = near((((q0 - p0) << 2) + s[at - 2 * over] - s[at + over] + 4) >> 3, 0, tc);
      if (!keepThere) {
        s[at - over] = clipped(p0 + delta, c);
      }
      if (!keepHere) {
        s[at] = clipped(q0 - delta, c);
      }
    }
  }
}
