package samelight.engine.hevc;

/** Tables of the arithmetic decoder and where each element's contexts lie ([H.265], 9.3). */
final class ContextTables {
  static final int SAO_MERGE = 0;
  static final int SAO_TYPE = 1;
  static final int SPLIT_BLOCK = 2;
  static final int LOSSLESS = 5;
  static final int PART_MODE = 6;
  static final int MODE_PREDICTED = 7;
  static final int CHROMA_MODE = 8;
  static final int SPLIT_TRANSFORM = 9;
  static final int CODED_LUMA = 12;
  static final int CODED_CHROMA = 14;
  static final int QP_DELTA = 19;
  static final int TRANSFORM_SKIP = 21;
  static final int LAST_X = 23;
  static final int LAST_Y = 41;
  static final int CODED_SUB_BLOCK = 59;
  static final int SIGNIFICANT = 63;
  static final int GREATER_1 = 107;
  static final int GREATER_2 = 131;
  static final int SCALE_SIZE = 137;
  static final int SCALE_SIGN = 145;
  static final int CHROMA_OFFSET = 147;
  static final int CHROMA_OFFSET_INDEX = 148;

  /** Tables 9-5 to 9-37, initType 0, in the order of the constants above. */
  private static final int[] INITIAL = {
    153,
    200,
    139,
    141,
    157,
    154,
    184,
    184,
    63,
    153,
    138,
    138,
    111,
    141,
    94,
    138,
    182,
    154,
    154,
    154,
    154,
    139,
    139,
    // last significant coefficient, across and down
    110,
    110,
    124,
    125,
    140,
    153,
    125,
    127,
    140,
    109,
    111,
    143,
    127,
    111,
    79,
    108,
    123,
    63, //
    110,
    110,
    124,
    125,
    140,
    153,
    125,
    127,
    140,
    109,
    111,
    143,
    127,
    111,
    79,
    108,
    123,
    63, //
    91,
    171,
    134,
    141,
    // significance; the last two for blocks without transform
    111,
    111,
    125,
    110,
    110,
    94,
    124,
    108,
    124,
    107,
    125,
    141,
    179,
    153,
    125,
    107,
    125,
    141,
    179,
    153,
    125,
    107,
    125,
    141,
    179,
    153,
    125,
    140,
    139,
    182,
    182,
    152,
    136,
    152,
    136,
    153,
    136,
    139,
    111,
    136,
    139,
    111,
    141,
    111,
    // levels
    140,
    92,
    137,
    138,
    140,
    152,
    138,
    139,
    153,
    74,
    149,
    92,
    139,
    107,
    122,
    152,
    140,
    179,
    166,
    182,
    140,
    227,
    122,
    197,
    138,
    153,
    136,
    167,
    152,
    152,
    // range extensions
    154,
    154,
    154,
    154,
    154,
    154,
    154,
    154,
    154,
    154,
    154,
    154
  };

  static final int COUNT = INITIAL.length;

  /** Table 9-52: by state * 4 + quarter of the range. */
  static final short[] LPS_RANGE = {
    128, 176, 208, 240, 128, 167, 197, 227, 128, 158, 187, 216, 123, 150, 178, 205, 116, 142, 169,
    195, 111, 135, 160, 185, 105, 128, 152, 175, 100, 122, 144, 166, 95, 116, 137, 158, 90, 110,
    130, 150, 85, 104, 123, 142, 81, 99, 117, 135, 77, 94, 111, 128, 73, 89, 105, 122, 69, 85, 100,
    116, 66, 80, 95, 110, 62, 76, 90, 104, 59, 72, 86, 99, 56, 69, 81, 94, 53, 65, 77, 89, 51, 62,
    73, 85, 48, 59, 69, 80, 46, 56, 66, 76, 43, 53, 63, 72, 41, 50, 59, 69, 39, 48, 56, 65, 37, 45,
    54, 62, 35, 43, 51, 59, 33, 41, 48, 56, 32, 39, 46, 53, 30, 37, 43, 50, 29, 35, 41, 48, 27, 33,
    39, 45, 26, 31, 37, 43, 24, 30, 35, 41, 23, 28, 33, 39, 22, 27, 32, 37, 21, 26, 30, 35, 20, 24,
    29, 33, 19, 23, 27, 31, 18, 22, 26, 30, 17, 21, 25, 28, 16, 20, 23, 27, 15, 19, 22, 25, 14, 18,
    21, 24, 14, 17, 20, 23, 13, 16, 19, 22, 12, 15, 18, 21, 12, 14, 17, 20, 11, 14, 16, 19, 11, 13,
    15, 18, 10, 12, 15, 17, 10, 12, 14, 16, 9, 11, 13, 15, 9, 11, 12, 14, 8, 10, 12, 14, 8, 9, 11,
    13, 7, 9, 11, 12, 7, 9, 10, 12, 7, 8, 10, 11, 6, 8, 9, 11, 6, 7, 9, 10, 6, 7, 8, 9, 2, 2, 2, 2
  };

  /** Table 9-53, transIdxLps. */
  private static final int[] LOWER = {
    0, 0, 1, 2, 2, 4, 4, 5, 6, 7, 8, 9, 9, 11, 11, 12, 13, 13, 15, 15, 16, 16, 18, 18, 19, 19, 21,
    21, 22, 22, 23, 24, 24, 25, 26, 26, 27, 27, 28, 29, 29, 30, 30, 30, 31, 32, 32, 33, 33, 33, 34,
    34, 35, 35, 35, 36, 36, 36, 37, 37, 37, 38, 38, 63
  };

  static final byte[] AFTER_MPS = new byte[128];
  static final byte[] AFTER_LPS = new byte[128];

  static {
    for (int state = 0; state < 64; state++) {
      for (int mps = 0; mps < 2; mps++) {
        AFTER_MPS[state << 1 | mps] = (byte) ((state < 62 ? state + 1 : state) << 1 | mps);
        AFTER_LPS[state << 1 | mps] = (byte) (LOWER[state] << 1 | (state == 0 ? 1 - mps : mps));
      }
    }
  }

  private ContextTables() {}

  /** Sets all contexts to where a slice begins ([H.265], 9.3.2.2). */
  static void begin(byte[] states, int qp) {
    int q = Math.max(0, Math.min(51, qp));
    for (int i = 0; i < COUNT; i++) {
      int slope = (INITIAL[i] >> 4) * 5 - 45;
      int offset = ((INITIAL[i] & 15) << 3) - 16;
      int pre = Math.max(1, Math.min(126, ((slope * q) >> 4) + offset));
      states[i] = (byte) (pre <= 63 ? (63 - pre) << 1 : (pre - 64) << 1 | 1);
    }
  }
}
