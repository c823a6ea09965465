package samelight.engine.hevc;

import java.util.Arrays;

/**
 * Reads a transform block's coefficients and makes differences of samples from them ([H.265],
 * 7.3.8.11, 8.6.2 to 8.6.8, 9.3.4.2.4 to 9.3.4.2.7).
 */
final class Residual {
  private static final int LEAST = -32768;
  private static final int MOST = 32767;
  private static final int MOST_PREFIX = 28;
  private static final int PURE_HORIZONTAL = 10;
  private static final int PURE_VERTICAL = 26;
  private static final int[] LEVEL_SCALE = {40, 45, 51, 57, 64, 72};

  /** ctxIdxMap: significance in a block of 4 x 4. */
  private static final byte[] SMALL = {0, 1, 4, 5, 2, 3, 4, 5, 6, 6, 8, 8, 7, 7, 8, 8};

  /** By coded neighbours (1 right, 2 below) and place in a sub-block. */
  private static final byte[][] BY_NEIGHBOURS = new byte[4][16];

  static {
    for (int place = 0; place < 16; place++) {
      int x = place & 3;
      int y = place >> 2;
      BY_NEIGHBOURS[0][place] = (byte) (x + y == 0 ? 2 : x + y < 3 ? 1 : 0);
      BY_NEIGHBOURS[1][place] = (byte) Math.max(0, 2 - y);
      BY_NEIGHBOURS[2][place] = (byte) Math.max(0, 2 - x);
      BY_NEIGHBOURS[3][place] = 2;
    }
  }

  private final SliceState state;
  private final SequenceParameters sps;
  private final PictureParameters pps;
  private final Transforms transforms = new Transforms();
  private final int[] coefficients = new int[32 * 32];
  private final int[] differences = new int[32 * 32];
  private final boolean[] coded = new boolean[64];
  private final byte[] places = new byte[16];
  private final int[] levels = new int[16];

  // The block that is read.
  private int log2;
  private int component;
  private int order;
  private boolean lossless;
  private boolean skip;
  private boolean hideSigns;
  private int lastX;
  private int lastY;
  private int columns;
  private int rows;
  private int previousGreater;
  private boolean firstLevels;

  // How its coefficients are scaled.
  private int flat;
  private int[] factors = new int[0];
  private int shift;

  Residual(SliceState state) {
    this.state = state;
    this.sps = state.sps;
    this.pps = state.pps;
  }

  /** Differences of a block without coefficients. */
  int[] none(int ofLog2) {
    Arrays.fill(differences, 0, 1 << (2 * ofLog2), 0);
    return differences;
  }

  /**
   * Reads a block.
   *
   * @param ofLog2 of its side, 2 to 5
   * @param ofComponent 0 luma, 1 Cb, 2 Cr
   * @param mode of its prediction
   * @param withoutLoss whether its coding unit has cu_transquant_bypass_flag
   * @return differences, rows from the top; valid until the next call
   */
  int[] read(int ofLog2, int ofComponent, int mode, boolean withoutLoss) throws HevcException {
    log2 = ofLog2;
    component = ofComponent;
    lossless = withoutLoss;
    int chroma = component == 0 ? 0 : 1;
    skip =
        pps.transformSkip
            && !lossless
            && log2 <= pps.transformSkipLog2
            && state.bin(ContextTables.TRANSFORM_SKIP + chroma) != 0;
    order = order(mode);
    boolean straight = mode == PURE_HORIZONTAL || mode == PURE_VERTICAL;
    boolean accumulate = sps.implicitDifferences && (skip || lossless) && straight;
    hideSigns = pps.signHiding && !lossless && !accumulate;
    int count = 1 << (2 * log2);
    Arrays.fill(coefficients, 0, count, 0);
    prepareScaling();
    last();
    subBlocks();
    finish();
    if (accumulate) {
      accumulate(mode == PURE_VERTICAL);
    }
    return differences;
  }

  private int order(int mode) {
    boolean byMode = log2 == 2 || (log2 == 3 && (component == 0 || sps.chromaFormat == 3));
    if (byMode && mode >= 6 && mode <= 14) {
      return Scans.VERTICAL;
    }
    return byMode && mode >= 22 && mode <= 30 ? Scans.HORIZONTAL : Scans.DIAGONAL;
  }

  private void prepareScaling() {
    int qp = state.scaledQp(component);
    shift = sps.bitDepth[component] + log2 - 5;
    flat = LEVEL_SCALE[qp % 6] << (qp / 6);
    ScalingLists lists = sps.scaling;
    if (lists != null && pps.scaling != null) {
      lists = pps.scaling;
    }
    boolean flatBlock = skip && log2 > 2;
    factors = lists == null || flatBlock ? new int[0] : lists.factors(log2, component);
  }

  /** The last significant coefficient's place. */
  private void last() throws HevcException {
    int x = lastPrefix(ContextTables.LAST_X);
    int y = lastPrefix(ContextTables.LAST_Y);
    x = lastPlace(x);
    y = lastPlace(y);
    lastX = order == Scans.VERTICAL ? y : x;
    lastY = order == Scans.VERTICAL ? x : y;
  }

  private int lastPrefix(int contexts) throws HevcException {
    int offset = component == 0 ? 3 * (log2 - 2) + ((log2 - 1) >> 2) : 15;
    int step = component == 0 ? (log2 + 1) >> 2 : log2 - 2;
    int most = (log2 << 1) - 1;
    int n = 0;
    while (n < most && state.bin(contexts + offset + (n >> step)) != 0) {
      n++;
    }
    return n;
  }

  private int lastPlace(int prefix) throws HevcException {
    if (prefix <= 3) {
      return prefix;
    }
    int bits = (prefix >> 1) - 1;
    return ((2 + (prefix & 1)) << bits) + state.bins.bypass(bits);
  }

  private void subBlocks() throws HevcException {
    int side = log2 - 2;
    int[] blockScan = Scans.of(order, side);
    int[] scan = Scans.of(order, 2);
    int lastBlock = (lastY >> 2 << side) + (lastX >> 2);
    int lastInside = (lastY & 3) * 4 + (lastX & 3);
    Arrays.fill(coded, 0, 1 << (2 * side), false);
    columns = 0;
    rows = 0;
    previousGreater = 1;
    firstLevels = true;
    int i = 0;
    while (blockScan[i] != lastBlock) {
      i++;
    }
    boolean isLast = true;
    for (; i >= 0; i--) {
      int block = blockScan[i];
      int x = block & (1 << side) - 1;
      int y = block >> side;
      int neighbours = neighbours(x, y, side);
      boolean ask = !isLast && i > 0;
      coded[block] = !ask || codedSubBlock(neighbours);
      if (coded[block]) {
        int count = significant(scan, isLast ? lastInside : -1, ask, x, y, neighbours);
        if (count > 0) {
          levels(count, scan, x, y, i == 0);
        }
      }
      isLast = false;
    }
  }

  /** Which neighbours have coefficients: 1 right, 2 below. */
  private int neighbours(int x, int y, int side) {
    int n = 0;
    int edge = (1 << side) - 1;
    if (x < edge && coded[(y << side) + x + 1]) {
      n |= 1;
    }
    if (y < edge && coded[((y + 1) << side) + x]) {
      n |= 2;
    }
    return n;
  }

  private boolean codedSubBlock(int neighbours) throws HevcException {
    int context = (neighbours != 0 ? 1 : 0) + (component == 0 ? 0 : 2);
    return state.bin(ContextTables.CODED_SUB_BLOCK + context) != 0;
  }

  /**
   * Finds the significant coefficients of a sub-block: {@link #places} in the scan, from its end.
   *
   * @param lastInside place of the block's last coefficient, or -1 where it lies elsewhere
   * @param asked whether the sub-block's own flag was read, so that one must be significant
   */
  private int significant(int[] scan, int lastInside, boolean asked, int x, int y, int neighbours)
      throws HevcException {
    int count = 0;
    int n = 15;
    if (lastInside >= 0) {
      while (scan[n] != lastInside) {
        n--;
      }
      places[count++] = (byte) n;
      n--;
    }
    byte[] inside = log2 == 2 ? SMALL : BY_NEIGHBOURS[neighbours];
    int base = ContextTables.SIGNIFICANT + significanceBase(x, y);
    boolean alone = sps.skipContext && (skip || lossless);
    int fixed = ContextTables.SIGNIFICANT + (component == 0 ? 42 : 43);
    for (; n > 0; n--) {
      int context = alone ? fixed : base + inside[scan[n]];
      if (state.bin(context) != 0) {
        places[count++] = (byte) n;
      }
    }
    if (n == 0) {
      boolean inferred = asked && count == 0;
      if (inferred || state.bin(alone ? fixed : dcContext(x, y, base, inside)) != 0) {
        places[count++] = 0;
      }
    }
    return count;
  }

  private int significanceBase(int x, int y) {
    if (log2 == 2) {
      return component == 0 ? 0 : 27;
    }
    if (component != 0) {
      return 27 + (log2 == 3 ? 9 : 12);
    }
    int later = x + y > 0 ? 3 : 0;
    return later + (log2 == 3 ? (order == Scans.DIAGONAL ? 9 : 15) : 21);
  }

  private int dcContext(int x, int y, int base, byte[] inside) {
    if (x + y == 0) {
      return ContextTables.SIGNIFICANT + (component == 0 ? 0 : 27);
    }
    return base + inside[0];
  }

  /** Reads the levels of a sub-block's significant coefficients. */
  private void levels(int count, int[] scan, int x, int y, boolean firstBlock)
      throws HevcException {
    int set = firstBlock || component > 0 ? 0 : 2;
    if (!firstLevels && previousGreater == 0) {
      set++;
    }
    firstLevels = false;
    int flagged = Math.min(8, count);
    int secondAt = greaterFlags(flagged, set);
    boolean hidden = hideSigns && places[0] - places[count - 1] > 3;
    int shown = hidden ? count - 1 : count;
    int signs = state.bins.bypass(shown);
    int rice = -1;
    int sum = 0;
    for (int i = 0; i < count; i++) {
      int level = i < flagged ? levels[i] : 1;
      int base = i >= flagged ? 1 : i == secondAt ? 3 : 2;
      if (level == base) {
        if (rice < 0) {
          rice = firstRice();
          int rest = remaining(rice);
          learnRice(rest);
          level += rest;
        } else {
          level += remaining(rice);
        }
        if (level > 3 << rice) {
          rice = sps.persistentRice ? rice + 1 : Math.min(rice + 1, 4);
        }
      }
      sum += level;
      boolean negative = i < shown ? (signs >> (shown - 1 - i) & 1) != 0 : (sum & 1) != 0;
      put(scan[places[i]], x, y, negative ? -level : level);
    }
  }

  /**
   * Reads which levels are greater than 1, and of the first of them whether it is greater than 2.
   *
   * @return which one that was, or -1
   */
  private int greaterFlags(int flagged, int set) throws HevcException {
    int contexts = ContextTables.GREATER_1 + (component > 0 ? 16 : 0) + set * 4;
    int greater = 1;
    int second = -1;
    for (int i = 0; i < flagged; i++) {
      boolean more = state.bin(contexts + greater) != 0;
      levels[i] = more ? 2 : 1;
      if (more) {
        greater = 0;
        second = second < 0 ? i : second;
      } else if (greater > 0 && greater < 3) {
        greater++;
      }
    }
    previousGreater = greater;
    if (second >= 0) {
      int context = ContextTables.GREATER_2 + (component > 0 ? 4 : 0) + set;
      levels[second] += state.bin(context);
    }
    return second;
  }

  private int riceClass() {
    return (component == 0 ? 2 : 0) + (skip || lossless ? 1 : 0);
  }

  private int firstRice() {
    return sps.persistentRice ? state.rice[riceClass()] / 4 : 0;
  }

  private void learnRice(int rest) {
    if (!sps.persistentRice) {
      return;
    }
    int at = riceClass();
    int known = state.rice[at];
    if (rest >= 3 << (known / 4)) {
      state.rice[at]++;
    } else if (2 * rest < 1 << (known / 4) && known > 0) {
      state.rice[at]--;
    }
  }

  /** coeff_abs_level_remaining. */
  private int remaining(int rice) throws HevcException {
    int prefix = 0;
    while (state.bins.bypass() != 0) {
      prefix =
          HevcException.within(
              "prefix of coeff_abs_level_remaining", prefix + 1L, 0, MOST_PREFIX - rice);
    }
    if (prefix <= 3) {
      return (prefix << rice) + state.bins.bypass(rice);
    }
    return (((1 << (prefix - 3)) + 3 - 1) << rice) + state.bins.bypass(prefix - 3 + rice);
  }

  /** Scales a coefficient and puts it where it belongs. */
  private void put(int inside, int blockX, int blockY, int level) {
    int x = (blockX << 2) + (inside & 3);
    int y = (blockY << 2) + (inside >> 2);
    int at = (y << log2) + x;
    long v = Math.max(LEAST, Math.min(MOST, level));
    if (!lossless) {
      long factor = (long) flat * (factors.length == 0 ? 16 : factors[at]);
      v = (v * factor + (1L << (shift - 1))) >> shift;
      v = Math.max(LEAST, Math.min(MOST, v));
    }
    coefficients[at] = (int) v;
    columns = Math.max(columns, x + 1);
    rows = Math.max(rows, y + 1);
  }

  private void finish() {
    int count = 1 << (2 * log2);
    if (lossless || skip) {
      boolean turn = sps.skipRotation && log2 == 2;
      int left = lossless ? 0 : 5 + log2;
      int right = lossless ? 0 : 20 - sps.bitDepth[component];
      int round = lossless ? 0 : 1 << (right - 1);
      for (int i = 0; i < count; i++) {
        int v = coefficients[turn ? count - 1 - i : i];
        differences[i] = ((v << left) + round) >> right;
      }
      return;
    }
    int down = 20 - sps.bitDepth[component];
    if (component == 0 && log2 == 2) {
      transforms.sine(coefficients, down, differences);
    } else {
      transforms.cosine(coefficients, log2, columns, rows, down, differences);
    }
  }

  /** Sums up along the direction of prediction (8.6.5, 8.6.8). */
  private void accumulate(boolean down) {
    int n = 1 << log2;
    if (down) {
      for (int i = n; i < n * n; i++) {
        differences[i] += differences[i - n];
      }
    } else {
      for (int i = 0; i < n * n; i++) {
        differences[i] += (i & n - 1) == 0 ? 0 : differences[i - 1];
      }
    }
  }
}
