package samelight.engine.hevc;

/** What the parts of a slice's decoder share: bins with their contexts, and the quantiser. */
final class SliceState {
  /** Table 8-10: QpC by qPi from 30 on. */
  private static final int[] CHROMA_QP = {29, 30, 31, 32, 33, 33, 34, 34, 35, 35, 36, 36, 37, 37};

  final CodedPicture picture;
  final SequenceParameters sps;
  final PictureParameters pps;
  SliceHeader header;
  ArithmeticDecoder bins;
  final byte[] states = new byte[ContextTables.COUNT];

  /** StatCoeff. */
  final int[] rice = new int[4];

  /** Slice and tile that is decoded. */
  int region;

  /** QpY of the coding unit that is decoded. */
  int qp;

  /** QpY of the last coding unit before. */
  int lastQp;

  /** qPY_PRED of the quantisation group. */
  int predictedQp;

  boolean qpDeltaKnown;
  int qpDelta;
  boolean chromaOffsetKnown;

  /** CuQpOffset for Cb at 1 and Cr at 2. */
  final int[] chromaOffset = new int[3];

  SliceState(CodedPicture picture, SliceHeader header, ArithmeticDecoder bins) {
    this.picture = picture;
    this.sps = picture.sps;
    this.pps = picture.pps;
    this.header = header;
    this.bins = bins;
  }

  /** Goes on with another segment. */
  void start(SliceHeader segment, ArithmeticDecoder data) {
    header = segment;
    bins = data;
    chromaOffset[1] = 0;
    chromaOffset[2] = 0;
  }

  int bin(int context) throws HevcException {
    return bins.bin(states, context);
  }

  /** Contexts as at the begin of a slice. */
  void reset() {
    ContextTables.begin(states, header.qp);
    java.util.Arrays.fill(rice, 0);
  }

  /** Starts a quantisation group ([H.265], 8.6.1). */
  void startGroup(int x, int y) {
    qpDeltaKnown = false;
    qpDelta = 0;
    int left = neighbour(x, y, x - 1, y);
    int above = neighbour(x, y, x, y - 1);
    predictedQp = (left + above + 1) >> 1;
  }

  /** The QpY of a neighbour in the same coding tree block, else the last one's. */
  private int neighbour(int x, int y, int otherX, int otherY) {
    boolean same = otherX >= 0 && otherY >= 0 && picture.ctb(x, y) == picture.ctb(otherX, otherY);
    return same && picture.available(otherX, otherY, region)
        ? picture.qp[picture.unit(otherX, otherY)]
        : lastQp;
  }

  /** Takes the group's prediction and what was added to it. */
  void updateQp() {
    int offset = 6 * (sps.bitDepth[0] - 8);
    qp = Math.floorMod(predictedQp + qpDelta + 52 + 2 * offset, 52 + offset) - offset;
  }

  /** Qp' of a component: what its coefficients are scaled by. */
  int scaledQp(int c) {
    int offset = 6 * (sps.bitDepth[c] - 8);
    if (c == 0) {
      return qp + offset;
    }
    int all = pps.chromaOffset[c] + header.chromaOffset[c] + chromaOffset[c];
    int index = Math.max(-offset, Math.min(57, qp + all));
    return chromaQp(sps, index) + offset;
  }

  /** QpC for qPi. */
  static int chromaQp(SequenceParameters sps, int index) {
    if (sps.chromaFormat != 1) {
      return Math.min(index, 51);
    }
    return index < 30 ? index : index >= 43 ? index - 6 : CHROMA_QP[index - 30];
  }
}
