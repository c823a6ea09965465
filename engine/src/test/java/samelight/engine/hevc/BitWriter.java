package samelight.engine.hevc;

import java.io.ByteArrayOutputStream;

/** Writes bits and the codes of [H.265], 9.2. */
final class BitWriter {
  private final ByteArrayOutputStream out = new ByteArrayOutputStream();
  private int current;
  private int count;

  void bit(int bit) {
    current = current << 1 | bit;
    if (++count == 8) {
      out.write(current);
      current = 0;
      count = 0;
    }
  }

  void flag(boolean flag) {
    bit(flag ? 1 : 0);
  }

  void bits(long value, int bits) {
    for (int i = bits - 1; i >= 0; i--) {
      bit((int) (value >> i & 1));
    }
  }

  void ue(int value) {
    int bits = 32 - Integer.numberOfLeadingZeros(value + 1);
    bits(0, bits - 1);
    bits(value + 1, bits);
  }

  void se(int value) {
    ue(value > 0 ? 2 * value - 1 : -2 * value);
  }

  /** Zeros up to the next whole byte. */
  void align() {
    while (count != 0) {
      bit(0);
    }
  }

  /** A 1 and zeros up to the next whole byte. */
  void stop() {
    bit(1);
    align();
  }

  /** Whole bytes written so far. */
  int size() {
    return out.size();
  }

  byte[] bytes() {
    return out.toByteArray();
  }
}
