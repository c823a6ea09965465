package samelight.engine.hevc;

/** Sample adaptive offsets of a coding tree block ([H.265], 7.4.9.3); by component. */
final class SaoParameters {
  static final int BAND = 1;
  static final int EDGE = 2;

  /** 0 none, or one of the two. */
  final int[] type = new int[3];

  /** First band, or class of edge. */
  final int[] place = new int[3];

  /** Four each, scaled. */
  final int[][] offsets = new int[3][4];

  /** Reads the parameters of a block that doesn't take its neighbour's. */
  static SaoParameters read(SliceState s) throws HevcException {
    SaoParameters p = new SaoParameters();
    for (int c = 0; c < s.picture.components; c++) {
      if (c == 0 ? s.header.saoLuma : s.header.saoChroma) {
        p.component(s, c);
      }
    }
    return p;
  }

  private void component(SliceState s, int c) throws HevcException {
    if (c == 2) {
      type[2] = type[1];
    } else if (s.bin(ContextTables.SAO_TYPE) != 0) {
      type[c] = s.bins.bypass() == 0 ? BAND : EDGE;
    }
    if (type[c] == 0) {
      return;
    }
    int most = (1 << (Math.min(s.sps.bitDepth[c], 10) - 5)) - 1;
    for (int i = 0; i < 4; i++) {
      int size = 0;
      while (size < most && s.bins.bypass() != 0) {
        size++;
      }
      offsets[c][i] = size << s.pps.saoShift[c];
    }
    if (type[c] == BAND) {
      for (int i = 0; i < 4; i++) {
        if (offsets[c][i] != 0 && s.bins.bypass() != 0) {
          offsets[c][i] = -offsets[c][i];
        }
      }
      place[c] = s.bins.bypass(5);
    } else {
      offsets[c][2] = -offsets[c][2];
      offsets[c][3] = -offsets[c][3];
      place[c] = c == 2 ? place[1] : s.bins.bypass(2);
    }
  }
}
