package samelight.engine.hevc;

import java.util.ArrayList;
import java.util.List;

/**
 * The decoder configuration record of an hvcC box (ISO/IEC 14496-15, 8.3.3.1).
 *
 * @param lengthSize bytes of the lengths between NAL units, 1 to 4
 * @param units parameter sets
 */
record HevcConfiguration(int lengthSize, List<NalUnit> units) {
  private static final int FIXED = 23;
  private static final int MOST_UNITS = 256;

  /**
   * Reads a record.
   *
   * @param box content of the box
   */
  static HevcConfiguration of(byte[] box) throws HevcException {
    if (box.length < FIXED) {
      throw new HevcException("an hvcC box of 23 bytes or more", box.length + " bytes");
    }
    int lengthSize = (box[21] & 3) + 1;
    int arrays = box[22] & 0xFF;
    List<NalUnit> units = new ArrayList<>();
    int at = FIXED;
    for (int i = 0; i < arrays; i++) {
      int count = number(box, at + 1);
      at += 3;
      for (int k = 0; k < count; k++) {
        int length = number(box, at);
        at += 2;
        if (length > box.length - at) {
          throw new HevcException(
              "a parameter set within its hvcC box", length + " bytes of " + (box.length - at));
        }
        HevcException.within("count of parameter sets", units.size(), 0, MOST_UNITS);
        units.add(NalUnit.of(box, at, at + length));
        at += length;
      }
    }
    return new HevcConfiguration(lengthSize, units);
  }

  private static int number(byte[] box, int at) throws HevcException {
    if (at + 2 > box.length) {
      throw new HevcException("an hvcC box with all its arrays", box.length + " bytes");
    }
    return (box[at] & 0xFF) << 8 | (box[at + 1] & 0xFF);
  }
}
