package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;

/** A Huffman table of a JPEG (ITU-T T.81, Annex C and F.2.2.3). */
final class HuffmanTable {
  private static final int FAST = 9;

  /** length &lt;&lt; 8 | symbol by the next nine bits, or 0 where the code is longer. */
  private final short[] fast = new short[1 << FAST];

  private static final int WIDE = 12;

  /** Mark of {@link #steps()} that a block ends. */
  static final int ENDS = 1 << 12;

  /** See {@link #steps()}. */
  private short @Nullable [] steps;

  private final int[] maxCode = new int[18];
  private final int[] offset = new int[17];
  private final byte[] symbols;

  /**
   * Builds the table.
   *
   * @param counts number of codes of 1 to 16 bits
   * @param symbols one for each code
   * @throws ReducedJpeg.Unsupported if there are more codes than their lengths allow
   */
  HuffmanTable(int[] counts, byte[] symbols) throws ReducedJpeg.Unsupported {
    this.symbols = symbols;
    int code = 0;
    int k = 0;
    for (int bits = 1; bits <= 16; bits++) {
      offset[bits] = k - code;
      if (code + counts[bits - 1] > 1 << bits) {
        throw new ReducedJpeg.Unsupported("Huffman table with too many codes of " + bits + " bits");
      }
      for (int i = 0; i < counts[bits - 1]; i++, code++, k++) {
        if (bits <= FAST) {
          int first = code << (FAST - bits);
          for (int j = 0; j < 1 << (FAST - bits); j++) {
            fast[first + j] = (short) ((bits << 8) | (symbols[k] & 0xFF));
          }
        }
      }
      maxCode[bits] = code << (16 - bits);
      code <<= 1;
    }
    maxCode[17] = Integer.MAX_VALUE;
  }

  /**
   * For passing over AC coefficients, several at once, by the next twelve bits: how many bits they
   * take, values and all, in bits 0 to 3; by how many places they go on, in bits 4 to 11; in bit 12
   * whether the last one ends the block. 0 where the first isn't whole within twelve bits. Made
   * when first asked for.
   */
  short[] steps() {
    short[] made = steps;
    if (made == null) {
      made = new short[1 << WIDE];
      for (int next = 0; next < made.length; next++) {
        made[next] = stepsOf(next);
      }
      steps = made;
    }
    return made;
  }

  private short stepsOf(int twelve) {
    int bits = 0;
    int places = 0;
    while (bits < WIDE) {
      int f = fast((twelve << (16 - WIDE + bits)) & 0xFFFF);
      int size = f & 15;
      int run = f >> 4 & 15;
      int all = bits + (f >> 8) + size;
      if (f == 0 || all > WIDE) {
        break;
      }
      bits = all;
      if (size == 0 && run != 15) {
        return (short) (ENDS | places << 4 | bits);
      }
      places += run + 1;
    }
    return (short) (places << 4 | bits);
  }

  /** Length of the code in bits 8 and up, symbol below; 0 where the code is longer than nine. */
  int fast(int next16) {
    return fast[next16 >> (16 - FAST)];
  }

  /** The same for any code; where none fits, 16 bits that mean 0. */
  int slow(int next16) {
    for (int bits = 1; bits <= 16; bits++) {
      if (next16 < maxCode[bits]) {
        int k = offset[bits] + (next16 >> (16 - bits));
        return k >= 0 && k < symbols.length ? (bits << 8) | (symbols[k] & 0xFF) : bits << 8;
      }
    }
    return 16 << 8;
  }
}
