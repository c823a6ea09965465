package samelight.engine.hevc;

/** Transform trees and units with their prediction ([H.265], 7.3.8.8 to 7.3.8.12, 8.4.4.1). */
final class TransformTree {
  private static final int MOST_QP_PREFIX = 5;

  private final SliceState state;
  private final CodedPicture picture;
  private final SequenceParameters sps;
  private final PictureParameters pps;
  private final IntraPrediction prediction;
  private final Residual residual;
  private final int[] lumaDifferences = new int[32 * 32];
  private CodingUnit unit = new CodingUnit();

  TransformTree(SliceState state) {
    this.state = state;
    this.picture = state.picture;
    this.sps = state.sps;
    this.pps = state.pps;
    this.prediction = new IntraPrediction(picture);
    this.residual = new Residual(state);
  }

  /** Decodes the samples of a coding unit. */
  void decode(CodingUnit of) throws HevcException {
    unit = of;
    tree(of.x, of.y, of.log2, 0, 0, 1, 1);
  }

  /**
   * One node.
   *
   * @param part which quarter of its parent
   * @param parentCb whether the parent has coefficients of Cb; two bits for the upper and lower
   *     half in 4:2:2
   * @param parentCr the same for Cr
   */
  private void tree(int x, int y, int log2, int depth, int part, int parentCb, int parentCr)
      throws HevcException {
    boolean quarters = unit.quartered && depth == 0;
    int deepest = sps.transformDepth + (unit.quartered ? 1 : 0);
    boolean split = log2 > sps.maxTransformLog2 || quarters;
    if (!split && log2 > sps.minTransformLog2 && depth < deepest) {
      split = state.bin(ContextTables.SPLIT_TRANSFORM + 5 - log2) != 0;
    }
    int cb = 0;
    int cr = 0;
    if (sps.chromaFormat == 3 || (sps.chromaFormat != 0 && log2 > 2)) {
      cb = parentCb == 0 ? 0 : codedChroma(log2, depth, split);
      cr = parentCr == 0 ? 0 : codedChroma(log2, depth, split);
    } else if (sps.chromaFormat != 0) {
      cb = parentCb;
      cr = parentCr;
    }
    if (!split) {
      leaf(x, y, log2, depth, part, cb, cr);
      return;
    }
    int half = 1 << (log2 - 1);
    for (int i = 0; i < 4; i++) {
      tree(x + (i & 1) * half, y + (i >> 1) * half, log2 - 1, depth + 1, i, cb, cr);
    }
  }

  private int codedChroma(int log2, int depth, boolean split) throws HevcException {
    int coded = state.bin(ContextTables.CODED_CHROMA + depth);
    if (sps.chromaFormat == 2 && (!split || log2 == 3)) {
      coded |= state.bin(ContextTables.CODED_CHROMA + depth) << 1;
    }
    return coded;
  }

  private void leaf(int x, int y, int log2, int depth, int part, int cb, int cr)
      throws HevcException {
    boolean luma = state.bin(ContextTables.CODED_LUMA + (depth == 0 ? 1 : 0)) != 0;
    if (luma || cb != 0 || cr != 0) {
      qpDelta();
      if (cb != 0 || cr != 0) {
        chromaOffset();
      }
    }
    int quarter = quarter(x, y);
    picture.markEdges(x, y, 1 << log2, state.header);
    int mode = unit.lumaMode[quarter];
    prediction.predict(0, x, y, log2, mode, unit.lossless, state.region);
    if (luma) {
      int[] differences = residual.read(log2, 0, mode, unit.lossless);
      add(0, x, y, log2, differences);
      if (pps.crossComponent) {
        System.arraycopy(differences, 0, lumaDifferences, 0, 1 << (2 * log2));
      }
    }
    picture.decoded(x, y, 1 << log2, state.region);
    if (sps.chromaFormat == 3) {
      chroma444(x, y, log2, quarter, luma, cb, cr);
    } else if (sps.chromaFormat != 0 && log2 > 2) {
      chroma(x, y, log2 - 1, cb, cr);
    } else if (sps.chromaFormat != 0 && part == 3) {
      chroma(x - 4, y - 4, 2, cb, cr);
    }
  }

  /** The quarter of the coding unit that a block lies in, or 0 where it has no quarters. */
  private int quarter(int x, int y) {
    if (!unit.quartered) {
      return 0;
    }
    int half = 1 << (unit.log2 - 1);
    return (x - unit.x) / half + (y - unit.y) / half * 2;
  }

  private void qpDelta() throws HevcException {
    if (!pps.qpDelta || state.qpDeltaKnown) {
      return;
    }
    int size = state.bin(ContextTables.QP_DELTA);
    while (size > 0 && size < MOST_QP_PREFIX && state.bin(ContextTables.QP_DELTA + 1) != 0) {
      size++;
    }
    if (size == MOST_QP_PREFIX) {
      size += expGolomb();
    }
    int delta = size > 0 && state.bins.bypass() != 0 ? -size : size;
    int half = 3 * (sps.bitDepth[0] - 8);
    state.qpDelta = HevcException.within("CuQpDeltaVal", delta, -26 - half, 25 + half);
    state.qpDeltaKnown = true;
    state.updateQp();
  }

  /** EG0 in bypass bins ([H.265], 9.3.3.3). */
  private int expGolomb() throws HevcException {
    int bits = 0;
    int base = 0;
    while (state.bins.bypass() != 0) {
      base += 1 << bits;
      bits = HevcException.within("prefix of cu_qp_delta_abs", bits + 1L, 0, 7);
    }
    return base + state.bins.bypass(bits);
  }

  private void chromaOffset() throws HevcException {
    if (!state.header.chromaOffsetLists || unit.lossless || state.chromaOffsetKnown) {
      return;
    }
    state.chromaOffsetKnown = true;
    if (state.bin(ContextTables.CHROMA_OFFSET) == 0) {
      state.chromaOffset[1] = 0;
      state.chromaOffset[2] = 0;
      return;
    }
    int last = pps.chromaOffsetList[1].length - 1;
    int index = 0;
    while (index < last && state.bin(ContextTables.CHROMA_OFFSET_INDEX) != 0) {
      index++;
    }
    state.chromaOffset[1] = pps.chromaOffsetList[1][index];
    state.chromaOffset[2] = pps.chromaOffsetList[2][index];
  }

  /** Chroma of 4:2:0, and of 4:2:2 with its two squares one upon the other. */
  private void chroma(int lumaX, int lumaY, int log2, int cb, int cr) throws HevcException {
    int squares = sps.chromaFormat == 2 ? 2 : 1;
    int x = lumaX / 2;
    int y = lumaY / sps.subHeight();
    int mode = unit.chromaMode[0];
    for (int c = 1; c < 3; c++) {
      int coded = c == 1 ? cb : cr;
      for (int i = 0; i < squares; i++) {
        int top = y + (i << log2);
        prediction.predict(c, x, top, log2, mode, unit.lossless, state.region);
        if ((coded >> i & 1) != 0) {
          add(c, x, top, log2, residual.read(log2, c, mode, unit.lossless));
        }
      }
    }
  }

  private void chroma444(int x, int y, int log2, int quarter, boolean luma, int cb, int cr)
      throws HevcException {
    int mode = unit.chromaMode[quarter];
    for (int c = 1; c < 3; c++) {
      int scale = 0;
      if (pps.crossComponent && luma && unit.chromaLikeLuma[quarter]) {
        scale = crossScale(c - 1);
      }
      prediction.predict(c, x, y, log2, mode, unit.lossless, state.region);
      boolean coded = (c == 1 ? cb : cr) != 0;
      if (coded || scale != 0) {
        int[] differences =
            coded ? residual.read(log2, c, mode, unit.lossless) : residual.none(log2);
        if (scale != 0) {
          cross(differences, 1 << (2 * log2), scale);
        }
        add(c, x, y, log2, differences);
      }
    }
  }

  /** ResScaleVal. */
  private int crossScale(int chroma) throws HevcException {
    int size = 0;
    while (size < 4 && state.bin(ContextTables.SCALE_SIZE + 4 * chroma + size) != 0) {
      size++;
    }
    if (size == 0) {
      return 0;
    }
    boolean negative = state.bin(ContextTables.SCALE_SIGN + chroma) != 0;
    return negative ? -(1 << (size - 1)) : 1 << (size - 1);
  }

  /** Cross-component prediction ([H.265], 7.3.8.12, 8.6.6). */
  private void cross(int[] differences, int count, int scale) {
    for (int i = 0; i < count; i++) {
      int luma = lumaDifferences[i] << sps.bitDepth[1] >> sps.bitDepth[0];
      differences[i] += (scale * luma) >> 3;
    }
  }

  private void add(int c, int x, int y, int log2, int[] differences) {
    short[] plane = picture.planes[c];
    int stride = picture.widths[c];
    int most = (1 << sps.bitDepth[c]) - 1;
    int n = 1 << log2;
    for (int row = 0, i = 0; row < n; row++) {
      for (int at = (y + row) * stride + x, end = at + n; at < end; at++, i++) {
        int v = plane[at] + differences[i];
        plane[at] = (short) (v < 0 ? 0 : Math.min(v, most));
      }
    }
  }
}
