package samelight.engine.hevc;

/** Bits of a NAL unit without its emulation prevention bytes; codes as in [H.265], 9.2. */
final class BitReader {
  private final byte[] data;
  private final int end;
  private int at;

  /**
   * Starts at the first bit.
   *
   * @param data bytes
   */
  BitReader(byte[] data) {
    this.data = data;
    this.end = data.length * 8;
  }

  /** Bits read so far. */
  int position() {
    return at;
  }

  int left() {
    return end - at;
  }

  boolean flag() throws HevcException {
    return bits(1) != 0;
  }

  /** A number of 0 to 31 bits. */
  int bits(int count) throws HevcException {
    if (count > end - at) {
      throw new HevcException(
          "a header with all its bits (HEVC)", "it ends " + (count - end + at) + " too early");
    }
    int v = 0;
    for (int i = 0; i < count; i++, at++) {
      v = v << 1 | (data[at >> 3] >> (7 - (at & 7)) & 1);
    }
    return v;
  }

  void skip(long count) throws HevcException {
    if (count > end - at) {
      throw new HevcException(
          "a header with all its bits (HEVC)", "it ends " + (count - end + at) + " too early");
    }
    at += (int) count;
  }

  /** An unsigned Exp-Golomb code, ue(v). */
  long ue() throws HevcException {
    int zeros = 0;
    while (!flag()) {
      zeros = HevcException.within("leading zeros of an Exp-Golomb code", zeros + 1L, 0, 31);
    }
    return (1L << zeros) - 1 + bits(zeros);
  }

  /** The same, within limits. */
  int ue(String what, int most) throws HevcException {
    return HevcException.within(what, ue(), 0, most);
  }

  /** A signed Exp-Golomb code, se(v), within limits. */
  int se(String what, int least, int most) throws HevcException {
    long k = ue();
    return HevcException.within(what, (k & 1) != 0 ? (k + 1) >> 1 : -(k >> 1), least, most);
  }
}
