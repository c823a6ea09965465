package samelight.engine.hevc;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/** Coding quadtrees and coding units ([H.265], 7.3.8.2 to 7.3.8.7, 8.4.2, 8.4.3). */
final class CodingTree {
  private static final int PLANAR = 0;
  private static final int DC = 1;
  private static final int HORIZONTAL = 10;
  private static final int VERTICAL = 26;
  private static final int LIKE_LUMA = 4;

  /** Table 8-3: modes of chroma in 4:2:2. */
  private static final int[] MODE_422 = {
    0, 1, 2, 2, 2, 2, 3, 5, 7, 8, 10, 12, 13, 15, 17, 18, 19, 20, 21, 22, 23, 23, 24, 24, 25, 25,
    26, 27, 27, 28, 28, 29, 29, 30, 31
  };

  private final SliceState state;
  private final CodedPicture picture;
  private final SequenceParameters sps;
  private final PictureParameters pps;
  private final TransformTree transforms;
  private final CodingUnit unit = new CodingUnit();
  private final int[] likely = new int[3];

  CodingTree(SliceState state) {
    this.state = state;
    this.picture = state.picture;
    this.sps = state.sps;
    this.pps = state.pps;
    this.transforms = new TransformTree(state);
  }

  SliceState state() {
    return state;
  }

  /** Decodes a coding tree block. */
  void block(int address) throws HevcException {
    int x = address % sps.ctbsWide() << sps.ctbLog2;
    int y = (address / sps.ctbsWide()) << sps.ctbLog2;
    if (state.header.saoLuma || state.header.saoChroma) {
      picture.sao[address] = sao(x, y, address);
    }
    quadtree(x, y, sps.ctbLog2, 0);
  }

  private @Nullable SaoParameters sao(int x, int y, int address) throws HevcException {
    if (picture.available(x - 1, y, state.region) && state.bin(ContextTables.SAO_MERGE) != 0) {
      return picture.sao[address - 1];
    }
    if (picture.available(x, y - 1, state.region) && state.bin(ContextTables.SAO_MERGE) != 0) {
      return picture.sao[address - sps.ctbsWide()];
    }
    return SaoParameters.read(state);
  }

  private void quadtree(int x, int y, int log2, int depth) throws HevcException {
    int size = 1 << log2;
    boolean inside = x + size <= sps.width && y + size <= sps.height;
    boolean split =
        (inside && log2 > sps.minBlockLog2)
            ? state.bin(ContextTables.SPLIT_BLOCK + deeper(x, y, depth)) != 0
            : log2 > sps.minBlockLog2;
    if (pps.qpDelta && log2 >= sps.ctbLog2 - pps.qpDeltaDepth) {
      state.startGroup(x, y);
    } else if (!pps.qpDelta && depth == 0) {
      state.startGroup(x, y);
    }
    if (state.header.chromaOffsetLists && log2 >= sps.ctbLog2 - pps.chromaOffsetDepth) {
      state.chromaOffsetKnown = false;
    }
    if (!split) {
      codingUnit(x, y, log2, depth);
      return;
    }
    int half = size >> 1;
    for (int i = 0; i < 4; i++) {
      int left = x + (i & 1) * half;
      int top = y + (i >> 1) * half;
      if (left < sps.width && top < sps.height) {
        quadtree(left, top, log2 - 1, depth + 1);
      }
    }
  }

  /** How many of the two neighbours are split further. */
  private int deeper(int x, int y, int depth) {
    int n = 0;
    if (picture.available(x - 1, y, state.region)
        && picture.depth[picture.unit(x - 1, y)] > depth) {
      n++;
    }
    if (picture.available(x, y - 1, state.region)
        && picture.depth[picture.unit(x, y - 1)] > depth) {
      n++;
    }
    return n;
  }

  private void codingUnit(int x, int y, int log2, int depth) throws HevcException {
    int size = 1 << log2;
    unit.x = x;
    unit.y = y;
    unit.log2 = log2;
    unit.lossless = pps.losslessBlocks && state.bin(ContextTables.LOSSLESS) != 0;
    unit.quartered = log2 == sps.minBlockLog2 && state.bin(ContextTables.PART_MODE) == 0;
    state.updateQp();
    picture.fill(picture.depth, x, y, size, depth);
    boolean raw =
        sps.pcm
            && !unit.quartered
            && log2 >= sps.pcmMinLog2
            && log2 <= sps.pcmMaxLog2
            && state.bins.pcmFlag();
    if (raw) {
      raw(x, y, log2);
    } else {
      modes();
      transforms.decode(unit);
    }
    if (unit.lossless || (raw && sps.pcmUnfiltered)) {
      picture.leaveAlone(x, y, size);
    }
    picture.fill(picture.qp, x, y, size, state.qp);
    state.lastQp = state.qp;
  }

  private void raw(int x, int y, int log2) throws HevcException {
    int size = 1 << log2;
    state.bins.beginRaw();
    for (int c = 0; c < picture.components; c++) {
      int wide = c == 0 ? size : size / sps.subWidth();
      int high = c == 0 ? size : size / sps.subHeight();
      int left = c == 0 ? x : x / sps.subWidth();
      int top = c == 0 ? y : y / sps.subHeight();
      int shift = sps.bitDepth[c] - sps.pcmDepth[c];
      for (int row = 0; row < high; row++) {
        int at = (top + row) * picture.widths[c] + left;
        for (int i = 0; i < wide; i++) {
          picture.planes[c][at + i] = (short) (state.bins.raw(sps.pcmDepth[c]) << shift);
        }
      }
    }
    state.bins.endRaw();
    picture.fill(picture.mode, x, y, size, DC);
    picture.markEdges(x, y, size, state.header);
    picture.decoded(x, y, size, state.region);
  }

  private void modes() throws HevcException {
    int parts = unit.quartered ? 4 : 1;
    int size = (1 << unit.log2) >> (unit.quartered ? 1 : 0);
    int predicted = 0;
    for (int i = 0; i < parts; i++) {
      predicted |= state.bin(ContextTables.MODE_PREDICTED) << i;
    }
    for (int i = 0; i < parts; i++) {
      int x = unit.x + (i & 1) * size;
      int y = unit.y + (i >> 1) * size;
      unit.lumaMode[i] = lumaMode(x, y, (predicted >> i & 1) != 0);
      picture.fill(picture.mode, x, y, size, unit.lumaMode[i]);
    }
    if (sps.chromaFormat != 0) {
      int chromaParts = sps.chromaFormat == 3 ? parts : 1;
      for (int i = 0; i < chromaParts; i++) {
        chromaMode(i);
      }
    }
  }

  private int lumaMode(int x, int y, boolean predicted) throws HevcException {
    likelyModes(neighbour(x - 1, y), y & ((1 << sps.ctbLog2) - 1), neighbour(x, y - 1));
    if (predicted) {
      int index = state.bins.bypass() == 0 ? 0 : 1 + state.bins.bypass();
      return likely[index];
    }
    int mode = state.bins.bypass(5);
    Arrays.sort(likely);
    for (int candidate : likely) {
      if (mode >= candidate) {
        mode++;
      }
    }
    return mode;
  }

  private int neighbour(int x, int y) {
    boolean inUnit = x >= unit.x && y >= unit.y;
    return inUnit || picture.available(x, y, state.region) ? picture.mode[picture.unit(x, y)] : DC;
  }

  /**
   * Fills in candModeList.
   *
   * @param rowInBlock row of the coding tree block; what lies above it doesn't count
   */
  private void likelyModes(int left, int rowInBlock, int aboveAny) {
    int above = rowInBlock == 0 ? DC : aboveAny;
    if (left != above) {
      likely[0] = left;
      likely[1] = above;
      likely[2] =
          left != PLANAR && above != PLANAR ? PLANAR : left != DC && above != DC ? DC : VERTICAL;
    } else if (left < 2) {
      likely[0] = PLANAR;
      likely[1] = DC;
      likely[2] = VERTICAL;
    } else {
      likely[0] = left;
      likely[1] = 2 + (left + 29) % 32;
      likely[2] = 2 + (left - 2 + 1) % 32;
    }
  }

  private void chromaMode(int part) throws HevcException {
    int coded = state.bin(ContextTables.CHROMA_MODE) == 0 ? LIKE_LUMA : state.bins.bypass(2);
    int luma = unit.lumaMode[part];
    int mode =
        switch (coded) {
          case 0 -> PLANAR;
          case 1 -> VERTICAL;
          case 2 -> HORIZONTAL;
          case 3 -> DC;
          default -> luma;
        };
    if (coded != LIKE_LUMA && mode == luma) {
      mode = 34;
    }
    unit.chromaMode[part] = sps.chromaFormat == 2 ? MODE_422[mode] : mode;
    unit.chromaLikeLuma[part] = coded == LIKE_LUMA;
  }
}
