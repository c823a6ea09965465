package samelight.engine.hevc;

/** Video usability information ([H.265], Annex E.2): colour is kept, the rest passed over. */
final class UsabilityInfo {
  private static final int EXTENDED_ASPECT = 255;
  private static final int MOST_BUFFERS = 31;

  private UsabilityInfo() {}

  /**
   * Reads vui_parameters.
   *
   * @param subLayers temporal sub-layers less one
   */
  static ColourSignal read(BitReader in, int subLayers) throws HevcException {
    if (in.flag() && in.bits(8) == EXTENDED_ASPECT) {
      in.skip(32);
    }
    if (in.flag()) {
      in.skip(1);
    }
    ColourSignal colour = in.flag() ? signal(in) : ColourSignal.UNSPECIFIED;
    if (in.flag()) {
      skipCodes(in, 2);
    }
    in.skip(3);
    if (in.flag()) {
      skipCodes(in, 4);
    }
    if (in.flag()) {
      timing(in, subLayers);
    }
    if (in.flag()) {
      in.skip(3);
      skipCodes(in, 5);
    }
    return colour;
  }

  private static ColourSignal signal(BitReader in) throws HevcException {
    in.skip(3);
    boolean fullRange = in.flag();
    if (!in.flag()) {
      return new ColourSignal(2, 2, 2, fullRange);
    }
    return new ColourSignal(in.bits(8), in.bits(8), in.bits(8), fullRange);
  }

  private static void skipCodes(BitReader in, int count) throws HevcException {
    for (int i = 0; i < count; i++) {
      in.ue();
    }
  }

  private static void timing(BitReader in, int subLayers) throws HevcException {
    in.skip(64);
    if (in.flag()) {
      in.ue();
    }
    if (in.flag()) {
      referenceDecoder(in, subLayers);
    }
  }

  /** The hypothetical reference decoder's parameters (E.2.2). */
  private static void referenceDecoder(BitReader in, int subLayers) throws HevcException {
    boolean nal = in.flag();
    boolean vcl = in.flag();
    boolean subPicture = false;
    if (nal || vcl) {
      subPicture = in.flag();
      if (subPicture) {
        in.skip(19);
      }
      in.skip(subPicture ? 12 : 8);
      in.skip(15);
    }
    for (int i = 0; i <= subLayers; i++) {
      subLayer(in, (nal ? 1 : 0) + (vcl ? 1 : 0), subPicture);
    }
  }

  private static void subLayer(BitReader in, int kinds, boolean subPicture) throws HevcException {
    boolean general = in.flag();
    boolean within = general || in.flag();
    boolean lowDelay = false;
    if (within) {
      in.ue();
    } else {
      lowDelay = in.flag();
    }
    int buffers = lowDelay ? 1 : in.ue("cpb_cnt_minus1", MOST_BUFFERS) + 1;
    for (int i = 0; i < kinds * buffers; i++) {
      skipCodes(in, subPicture ? 4 : 2);
      in.skip(1);
    }
  }
}
