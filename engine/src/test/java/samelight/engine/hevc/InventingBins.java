package samelight.engine.hevc;

import java.util.List;
import java.util.Random;

/**
 * Stands where the arithmetic decoder does, but makes the bins up and encodes them ([H.265],
 * 9.3.4.3 mirrored): whatever syntax the decoder asks for comes to be. What it then decodes must be
 * what other decoders make of the written bytes.
 */
final class InventingBins extends ArithmeticDecoder {
  private final Random random;
  private final BitWriter out = new BitWriter();
  private final int length;
  private final List<Integer> subsets = new java.util.ArrayList<>();
  private final double odds;
  private int blocks;
  private int low;
  private int range = 510;
  private int outstanding;
  private boolean first = true;

  /**
   * Starts a slice segment.
   *
   * @param length coding tree blocks of the segment
   * @param odds of a coefficient
   */
  InventingBins(Random random, int length, double odds) throws HevcException {
    super(new byte[16], 0);
    this.random = random;
    this.length = length;
    this.odds = odds;
  }

  byte[] bytes() {
    return out.bytes();
  }

  /** Where each subset but the first begins. */
  List<Integer> subsets() {
    return subsets;
  }

  private double oddsOf(int context) {
    if (context == ContextTables.LOSSLESS) {
      return 0.15;
    }
    if (context >= ContextTables.SIGNIFICANT && context < ContextTables.GREATER_1) {
      return odds;
    }
    if (context >= ContextTables.CODED_SUB_BLOCK && context < ContextTables.SIGNIFICANT) {
      return odds;
    }
    if (context >= ContextTables.LAST_X && context < ContextTables.CODED_SUB_BLOCK) {
      return 0.6;
    }
    if (context >= ContextTables.GREATER_1 && context < ContextTables.SCALE_SIZE) {
      return 0.4;
    }
    return 0.5;
  }

  @Override
  int bin(byte[] states, int context) {
    int bin = random.nextDouble() < oddsOf(context) ? 1 : 0;
    int state = states[context];
    int lps = ContextTables.LPS_RANGE[(state >> 1 << 2) | (range >> 6 & 3)];
    range -= lps;
    if (bin == (state & 1)) {
      states[context] = ContextTables.AFTER_MPS[state];
    } else {
      low += range;
      range = lps;
      states[context] = ContextTables.AFTER_LPS[state];
    }
    renormalise();
    return bin;
  }

  private void renormalise() {
    while (range < 256) {
      range <<= 1;
      shift();
    }
  }

  /** Gives out the highest bit of what is settled. */
  private void shift() {
    if (low < 256) {
      put(0);
    } else if (low >= 512) {
      low -= 512;
      put(1);
    } else {
      low -= 256;
      outstanding++;
    }
    low <<= 1;
  }

  private void put(int bit) {
    if (first) {
      first = false;
    } else {
      out.bit(bit);
    }
    for (; outstanding > 0; outstanding--) {
      out.bit(1 - bit);
    }
  }

  @Override
  int bypass() {
    int bin = random.nextDouble() < 0.3 ? 1 : 0;
    low <<= 1;
    if (bin != 0) {
      low += range;
    }
    if (low >= 1024) {
      put(1);
      low -= 1024;
    } else if (low < 512) {
      put(0);
    } else {
      low -= 512;
      outstanding++;
    }
    return bin;
  }

  @Override
  boolean endOfSlice() {
    return terminate(++blocks >= length);
  }

  @Override
  boolean endOfSubset() {
    return terminate(true);
  }

  @Override
  boolean pcmFlag() {
    return terminate(random.nextInt(4) == 0);
  }

  private boolean terminate(boolean end) {
    range -= 2;
    if (!end) {
      renormalise();
      return false;
    }
    low += range;
    range = 2;
    renormalise();
    put(low >> 9 & 1);
    out.bits((low >> 7 & 3) | 1, 2);
    out.align();
    return true;
  }

  private void begin() {
    low = 0;
    range = 510;
    outstanding = 0;
    first = true;
  }

  @Override
  void nextSubset() {
    subsets.add(out.size());
    begin();
  }

  @Override
  void beginRaw() {}

  @Override
  int raw(int bits) {
    int v = random.nextInt(1 << bits);
    out.bits(v, bits);
    return v;
  }

  @Override
  void endRaw() {
    out.align();
    begin();
  }
}
