package samelight.engine.hevc;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * A NAL unit ([H.265], 7.3.1).
 *
 * @param type nal_unit_type
 * @param layer nuh_layer_id
 * @param payload what follows the two bytes of the header, without emulation prevention bytes
 */
@SuppressWarnings("ArrayRecordComponent") // handed on once, never compared
record NalUnit(int type, int layer, byte[] payload) {
  static final int FIRST_IRAP = 16;
  static final int IDR_W_RADL = 19;
  static final int IDR_N_LP = 20;
  static final int LAST_IRAP = 23;
  static final int SPS = 33;
  static final int PPS = 34;
  private static final int MOST_UNITS = 4096;

  boolean slice() {
    return type < 32;
  }

  /** Whether it is part of a picture from which decoding may start. */
  boolean randomAccess() {
    return type >= FIRST_IRAP && type <= LAST_IRAP;
  }

  /**
   * Reads a NAL unit.
   *
   * @param data holds it
   * @param from where its header starts
   * @param to behind its last byte
   */
  static NalUnit of(byte[] data, int from, int to) throws HevcException {
    if (to - from < 2) {
      throw new HevcException("a NAL unit of 2 bytes or more", (to - from) + " bytes");
    }
    int header = (data[from] & 0xFF) << 8 | (data[from + 1] & 0xFF);
    HevcException.within("forbidden_zero_bit", header >> 15, 0, 0);
    return new NalUnit(header >> 9 & 63, header >> 3 & 63, unescaped(data, from + 2, to));
  }

  /** Takes out the 3 of 0, 0, 3 ([H.265], 7.4.2). */
  private static byte[] unescaped(byte[] data, int from, int to) {
    byte[] out = new byte[to - from];
    int n = 0;
    int zeros = 0;
    for (int i = from; i < to; i++) {
      if (zeros >= 2 && data[i] == 3) {
        zeros = 0;
        continue;
      }
      zeros = data[i] == 0 ? zeros + 1 : 0;
      out[n++] = data[i];
    }
    return Arrays.copyOf(out, n);
  }

  /**
   * Splits an item's data.
   *
   * @param data NAL units, each behind its length
   * @param lengthSize bytes of a length, 1 to 4
   */
  static List<NalUnit> split(byte[] data, int lengthSize) throws HevcException {
    List<NalUnit> units = new ArrayList<>();
    int at = 0;
    while (at < data.length) {
      if (data.length - at < lengthSize) {
        throw new HevcException("a NAL unit's length", (data.length - at) + " bytes");
      }
      long length = 0;
      for (int i = 0; i < lengthSize; i++) {
        length = length << 8 | (data[at++] & 0xFF);
      }
      if (length > data.length - at) {
        throw new HevcException(
            "a NAL unit within its data", length + " bytes of " + (data.length - at));
      }
      HevcException.within("count of NAL units", units.size(), 0, MOST_UNITS);
      units.add(of(data, at, at + (int) length));
      at += (int) length;
    }
    return units;
  }
}
