package samelight.engine.hevc;

import org.jspecify.annotations.Nullable;

/** A slice segment's header ([H.265], 7.3.6), as far as pictures that stand alone have one. */
final class SliceHeader {
  private static final int INTRA = 2;
  private static final int MOST_ENTRY_POINTS = 1 << 16;

  /** Whether a picture starts here. */
  boolean first;

  boolean dependent;

  /** First coding tree block, in raster order. */
  int address;

  /** The same of the independent segment that this one belongs to. */
  int sliceAddress;

  boolean saoLuma;
  boolean saoChroma;
  int qp;

  /** For Cb at 1 and Cr at 2. */
  final int[] chromaOffset = new int[3];

  boolean chromaOffsetLists;
  boolean deblockingOff;
  int betaOffset;
  int tcOffset;
  boolean acrossSlices;

  /** Where the slice's data begin in the payload. */
  int dataStart;

  private SliceHeader() {}

  /** Which parameter set a slice wants; the header's first fields alone. */
  static int pictureParameters(NalUnit unit) throws HevcException {
    BitReader in = new BitReader(unit.payload());
    in.skip(unit.randomAccess() ? 2 : 1);
    return in.ue("slice_pic_parameter_set_id", 63);
  }

  /**
   * Reads a header.
   *
   * @param previous the independent segment before, which a dependent one takes its fields from
   */
  static SliceHeader read(
      NalUnit unit, SequenceParameters sps, PictureParameters pps, @Nullable SliceHeader previous)
      throws HevcException {
    BitReader in = new BitReader(unit.payload());
    SliceHeader h = new SliceHeader();
    h.first = in.flag();
    in.skip(1);
    in.ue();
    if (!h.first) {
      h.dependent = pps.dependentSlices && in.flag();
      int ctbs = sps.ctbsWide() * sps.ctbsHigh();
      int bits = 32 - Integer.numberOfLeadingZeros(ctbs - 1);
      h.address = HevcException.within("slice_segment_address", in.bits(bits), 1, ctbs - 1);
    }
    if (h.dependent) {
      if (previous == null) {
        throw new HevcException("a slice before its dependent segment", "none");
      }
      h.takeFrom(previous);
    } else {
      h.sliceAddress = h.address;
      h.independent(in, unit, sps, pps);
    }
    h.ending(in, pps);
    return h;
  }

  private void takeFrom(SliceHeader p) {
    sliceAddress = p.sliceAddress;
    saoLuma = p.saoLuma;
    saoChroma = p.saoChroma;
    qp = p.qp;
    chromaOffset[1] = p.chromaOffset[1];
    chromaOffset[2] = p.chromaOffset[2];
    chromaOffsetLists = p.chromaOffsetLists;
    deblockingOff = p.deblockingOff;
    betaOffset = p.betaOffset;
    tcOffset = p.tcOffset;
    acrossSlices = p.acrossSlices;
  }

  private void independent(
      BitReader in, NalUnit unit, SequenceParameters sps, PictureParameters pps)
      throws HevcException {
    in.skip(pps.extraHeaderBits);
    int type = in.ue("slice_type", 2);
    HevcException.without(type != INTRA, "slices predicted from other pictures");
    if (pps.outputFlag) {
      in.skip(1);
    }
    if (unit.type() != NalUnit.IDR_W_RADL && unit.type() != NalUnit.IDR_N_LP) {
      references(in, sps);
    }
    if (sps.sao) {
      saoLuma = in.flag();
      saoChroma = sps.chromaFormat != 0 && in.flag();
    }
    int least = -6 * (sps.bitDepth[0] - 8);
    qp = pps.qp + in.se("slice_qp_delta", -128, 128);
    HevcException.within("SliceQpY", qp, least, 51);
    for (int c = 1; pps.sliceChromaOffsets && c < 3; c++) {
      chromaOffset[c] = in.se("a slice's offset of chroma", -12, 12);
      HevcException.within(
          "offset of chroma", chromaOffset[c] + (long) pps.chromaOffset[c], -12, 12);
    }
    chromaOffsetLists = pps.chromaOffsetLists && in.flag();
    deblocking(in, pps);
  }

  private static void references(BitReader in, SequenceParameters sps) throws HevcException {
    in.skip(sps.pocBits);
    int sets = sps.referenceSets.count();
    if (!in.flag()) {
      sps.referenceSets.skipInSlice(in);
    } else if (sets > 1) {
      in.skip(32 - Integer.numberOfLeadingZeros(sets - 1));
    }
    if (sps.longTerm) {
      int known = sps.longTermSets > 0 ? in.ue("num_long_term_sps", sps.longTermSets) : 0;
      int all = known + in.ue("num_long_term_pics", 32);
      for (int i = 0; i < all; i++) {
        if (i >= known) {
          in.skip(sps.pocBits + 1L);
        } else if (sps.longTermSets > 1) {
          in.skip(32 - Integer.numberOfLeadingZeros(sps.longTermSets - 1));
        }
        if (in.flag()) {
          in.ue();
        }
      }
    }
    if (sps.temporalVectors) {
      in.skip(1);
    }
  }

  private void deblocking(BitReader in, PictureParameters pps) throws HevcException {
    deblockingOff = pps.deblockingOff;
    betaOffset = pps.betaOffset;
    tcOffset = pps.tcOffset;
    if (pps.deblockingOverride && in.flag()) {
      deblockingOff = in.flag();
      if (!deblockingOff) {
        betaOffset = 2 * in.se("slice_beta_offset_div2", -6, 6);
        tcOffset = 2 * in.se("slice_tc_offset_div2", -6, 6);
      }
    }
    acrossSlices = pps.acrossSlices;
    if (pps.acrossSlices && (saoLuma || saoChroma || !deblockingOff)) {
      acrossSlices = in.flag();
    }
  }

  private void ending(BitReader in, PictureParameters pps) throws HevcException {
    if (pps.tiles || pps.wavefront) {
      // Where parts begin is known from where the one before ended.
      int count = in.ue("num_entry_point_offsets", MOST_ENTRY_POINTS);
      if (count > 0) {
        int bits = in.ue("offset_len_minus1", 31) + 1;
        in.skip((long) count * bits);
      }
    }
    if (pps.headerExtension) {
      in.skip(8L * in.ue("slice_segment_header_extension_length", 256));
    }
    if (!in.flag()) {
      throw new HevcException("byte_alignment behind a slice's header", "a bit that is 0");
    }
    dataStart = (in.position() + 7) / 8;
  }
}
