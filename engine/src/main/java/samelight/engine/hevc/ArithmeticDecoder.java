package samelight.engine.hevc;

/**
 * The arithmetic decoder ([H.265], 9.3.4.3). The offset is held with bits to spare: {@code value}
 * stands for ivlOffset, followed by {@code spare} bits that are read but not used yet.
 */
class ArithmeticDecoder {
  /** Bytes that may be looked at behind the data: fewer than a reader ahead takes. */
  private static final int BEHIND = 8;

  private final byte[] data;
  private int at;
  private int range;
  private long value;
  private int spare;

  /** For raw samples: bits used of the byte at {@code at}. */
  private int rawBit;

  /**
   * Starts to decode.
   *
   * @param data a slice's payload
   * @param from where its coded data begin
   */
  ArithmeticDecoder(byte[] data, int from) throws HevcException {
    this.data = data;
    begin(from);
  }

  private void begin(int from) throws HevcException {
    at = from;
    range = 510;
    value = 0;
    spare = -9;
    refill();
  }

  private void refill() throws HevcException {
    while (spare <= 32) {
      value <<= 8;
      if (at < data.length) {
        value |= data[at] & 0xFF;
      } else if (at > data.length + BEHIND) {
        throw new HevcException("a slice with all its data (HEVC)", data.length + " bytes");
      }
      at++;
      spare += 8;
    }
  }

  /**
   * One bin with a context.
   *
   * @param states pStateIdx * 2 + valMps each
   * @param context which of them
   */
  int bin(byte[] states, int context) throws HevcException {
    if (spare < 8) {
      refill();
    }
    int state = states[context];
    int lps = ContextTables.LPS_RANGE[(state >> 1 << 2) | (range >> 6 & 3)];
    range -= lps;
    long scaled = (long) range << spare;
    int bin = state & 1;
    if (value < scaled) {
      states[context] = ContextTables.AFTER_MPS[state];
      if (range < 256) {
        range <<= 1;
        spare--;
      }
    } else {
      value -= scaled;
      bin ^= 1;
      states[context] = ContextTables.AFTER_LPS[state];
      int shift = Integer.numberOfLeadingZeros(lps) - 23;
      range = lps << shift;
      spare -= shift;
    }
    return bin;
  }

  /** One bin of even odds. */
  int bypass() throws HevcException {
    if (spare < 8) {
      refill();
    }
    spare--;
    long scaled = (long) range << spare;
    if (value < scaled) {
      return 0;
    }
    value -= scaled;
    return 1;
  }

  /** Several of them, the most significant first. */
  final int bypass(int count) throws HevcException {
    int v = 0;
    for (int i = 0; i < count; i++) {
      v = v << 1 | bypass();
    }
    return v;
  }

  boolean endOfSlice() throws HevcException {
    return terminate();
  }

  boolean endOfSubset() throws HevcException {
    return terminate();
  }

  boolean pcmFlag() throws HevcException {
    return terminate();
  }

  private boolean terminate() throws HevcException {
    if (spare < 8) {
      refill();
    }
    range -= 2;
    if (value >= (long) range << spare) {
      return true;
    }
    if (range < 256) {
      range <<= 1;
      spare--;
    }
    return false;
  }

  /** Begins the next subset of a slice's data, behind the end of the one before. */
  void nextSubset() throws HevcException {
    begin(behind());
  }

  /** The first whole byte behind what was used: the last bit that was used is a stop bit. */
  private int behind() throws HevcException {
    int bits = at * 8 - spare;
    int next = (bits + 7) >> 3;
    if (next > data.length) {
      throw new HevcException("a slice with all its data (HEVC)", data.length + " bytes");
    }
    return next;
  }

  /** Raw samples follow. */
  void beginRaw() throws HevcException {
    at = behind();
    rawBit = 0;
  }

  /** A raw sample. */
  int raw(int bits) throws HevcException {
    int v = 0;
    for (int i = 0; i < bits; i++) {
      if (at >= data.length) {
        throw new HevcException("a slice with all its data (HEVC)", data.length + " bytes");
      }
      v = v << 1 | (data[at] >> (7 - rawBit) & 1);
      rawBit = (rawBit + 1) & 7;
      at += rawBit == 0 ? 1 : 0;
    }
    return v;
  }

  /** Goes on after raw samples. */
  void endRaw() throws HevcException {
    begin(rawBit == 0 ? at : at + 1);
  }
}
