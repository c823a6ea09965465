package samelight.engine.hevc;

/** Sample adaptive offset ([H.265], 8.7.3), from deblocked samples into new planes. */
final class SampleAdaptiveOffset {
  /** Table 8-13: steps to the first neighbour; the second lies opposite. */
  private static final int[] STEP_X = {-1, 0, -1, 1};

  private static final int[] STEP_Y = {0, -1, -1, -1};

  /** By 2 + both signs: which offset, 0 none. */
  private static final int[] CLASS = {1, 2, 0, 3, 4};

  private final CodedPicture picture;
  private final SequenceParameters sps;

  // The block that is filtered.
  private int component;
  private short[] from = new short[0];
  private short[] to = new short[0];
  private int stride;
  private int left;
  private int top;
  private int right;
  private int bottom;
  private int most;

  /** Which neighbouring blocks may be looked into, in rows of three. */
  private final boolean[] open = new boolean[9];

  SampleAdaptiveOffset(CodedPicture picture) {
    this.picture = picture;
    this.sps = picture.sps;
  }

  /** Filters the whole picture. */
  void run() {
    for (int c = 0; c < picture.components; c++) {
      if (any(c)) {
        component = c;
        to = picture.planes[c];
        from = to.clone();
        stride = picture.widths[c];
        most = (1 << sps.bitDepth[c]) - 1;
        for (int ctb = 0; ctb < picture.sao.length; ctb++) {
          SaoParameters p = picture.sao[ctb];
          if (p != null && p.type[c] != 0 && switchedOn(ctb)) {
            block(ctb, p);
          }
        }
      }
    }
  }

  private boolean any(int c) {
    for (SaoParameters p : picture.sao) {
      if (p != null && p.type[c] != 0) {
        return true;
      }
    }
    return false;
  }

  private boolean switchedOn(int ctb) {
    SliceHeader h = picture.slice(ctb);
    return component == 0 ? h.saoLuma : h.saoChroma;
  }

  private void block(int ctb, SaoParameters p) {
    int wide = (1 << sps.ctbLog2) / (component == 0 ? 1 : sps.subWidth());
    int high = (1 << sps.ctbLog2) / (component == 0 ? 1 : sps.subHeight());
    left = ctb % sps.ctbsWide() * wide;
    top = ctb / sps.ctbsWide() * high;
    right = Math.min(left + wide, picture.widths[component]);
    bottom = Math.min(top + high, picture.heights[component]);
    if (p.type[component] == SaoParameters.BAND) {
      band(p.place[component], p.offsets[component]);
    } else {
      findOpen(ctb);
      edge(p.place[component], p.offsets[component]);
    }
    if (picture.anyUntouched) {
      restore();
    }
  }

  private void band(int first, int[] offsets) {
    int shift = sps.bitDepth[component] - 5;
    for (int y = top; y < bottom; y++) {
      for (int at = y * stride + left, end = y * stride + right; at < end; at++) {
        int band = (from[at] >> shift) - first & 31;
        if (band < 4) {
          to[at] = clipped(from[at] + offsets[band]);
        }
      }
    }
  }

  private void edge(int edgeClass, int[] offsets) {
    int stepX = STEP_X[edgeClass];
    int stepY = STEP_Y[edgeClass];
    int step = stepY * stride + stepX;
    for (int y = top; y < bottom; y++) {
      boolean rim = y == top || y == bottom - 1;
      for (int x = left; x < right; x++) {
        if ((rim || x == left || x == right - 1)
            && !(open(x + stepX, y + stepY) && open(x - stepX, y - stepY))) {
          continue;
        }
        int at = y * stride + x;
        int v = from[at];
        int c = CLASS[2 + sign(v - from[at + step]) + sign(v - from[at - step])];
        if (c != 0) {
          to[at] = clipped(v + offsets[c - 1]);
        }
      }
    }
  }

  private static int sign(int v) {
    return Integer.signum(v);
  }

  private boolean open(int x, int y) {
    int column = x < left ? 0 : x < right ? 1 : 2;
    int row = y < top ? 0 : y < bottom ? 1 : 2;
    return open[3 * row + column];
  }

  private void findOpen(int ctb) {
    int wide = sps.ctbsWide();
    int high = sps.ctbsHigh();
    for (int i = 0; i < 9; i++) {
      int x = ctb % wide + i % 3 - 1;
      int y = ctb / wide + i / 3 - 1;
      open[i] = x >= 0 && y >= 0 && x < wide && y < high && crosses(ctb, y * wide + x);
    }
  }

  private boolean crosses(int here, int there) {
    if (here == there) {
      return true;
    }
    SliceHeader a = picture.slice(here);
    SliceHeader b = picture.slice(there);
    TileGrid grid = picture.grid;
    SliceHeader later = grid.place[here] > grid.place[there] ? a : b;
    return (a.sliceAddress == b.sliceAddress || later.acrossSlices)
        && (picture.pps.acrossTiles || grid.tile[here] == grid.tile[there]);
  }

  /** Puts samples back that the filters leave alone. */
  private void restore() {
    int across = component == 0 ? 1 : sps.subWidth();
    int down = component == 0 ? 1 : sps.subHeight();
    for (int y = top; y < bottom; y++) {
      for (int x = left; x < right; x++) {
        if (picture.untouched[picture.unit(x * across, y * down)]) {
          to[y * stride + x] = from[y * stride + x];
        }
      }
    }
  }

  private short clipped(int v) {
    return (short) Math.max(0, Math.min(most, v));
  }
}
