package samelight.engine.hevc;

import org.jspecify.annotations.Nullable;

/** A picture parameter set ([H.265], 7.3.2.3), with the range extensions. */
final class PictureParameters {
  private static final int MOST_TILES_ACROSS = 1024;

  int id;
  int sequence;
  boolean dependentSlices;
  boolean outputFlag;
  int extraHeaderBits;
  boolean signHiding;
  int qp;
  boolean transformSkip;
  boolean qpDelta;
  int qpDeltaDepth;

  /** For Cb at 1 and Cr at 2. */
  final int[] chromaOffset = new int[3];

  boolean sliceChromaOffsets;
  boolean losslessBlocks;
  boolean tiles;
  boolean wavefront;

  /** Widths of columns of tiles in CTBs, or null where they are even. */
  int @Nullable [] columnWidths;

  int @Nullable [] rowHeights;
  int columns = 1;
  int rows = 1;
  boolean acrossTiles = true;
  boolean acrossSlices;
  boolean deblockingOverride;
  boolean deblockingOff;
  int betaOffset;
  int tcOffset;
  @Nullable ScalingLists scaling;
  boolean headerExtension;
  int transformSkipLog2 = 2;
  boolean crossComponent;
  boolean chromaOffsetLists;
  int chromaOffsetDepth;

  /** For Cb at 1 and Cr at 2, by index. */
  int[][] chromaOffsetList = new int[3][0];

  /** By component. */
  final int[] saoShift = new int[3];

  private PictureParameters() {}

  /** Reads a set. */
  static PictureParameters read(byte[] payload) throws HevcException {
    BitReader in = new BitReader(payload);
    PictureParameters p = new PictureParameters();
    p.id = in.ue("pps_pic_parameter_set_id", 63);
    p.sequence = in.ue("pps_seq_parameter_set_id", 15);
    p.dependentSlices = in.flag();
    p.outputFlag = in.flag();
    p.extraHeaderBits = in.bits(3);
    p.signHiding = in.flag();
    in.skip(1);
    in.ue("num_ref_idx_l0_default_active_minus1", 14);
    in.ue("num_ref_idx_l1_default_active_minus1", 14);
    p.qp = in.se("init_qp_minus26", -26 - 24, 25) + 26;
    in.skip(1); // constrained intra prediction: every block of such a picture is intra
    p.transformSkip = in.flag();
    p.qpDelta = in.flag();
    if (p.qpDelta) {
      p.qpDeltaDepth = in.ue("diff_cu_qp_delta_depth", 3);
    }
    p.chromaOffset[1] = in.se("pps_cb_qp_offset", -12, 12);
    p.chromaOffset[2] = in.se("pps_cr_qp_offset", -12, 12);
    p.sliceChromaOffsets = in.flag();
    in.skip(2);
    p.losslessBlocks = in.flag();
    p.tiles = in.flag();
    p.wavefront = in.flag();
    HevcException.without(p.tiles && p.wavefront, "tiles and wavefronts in one picture");
    if (p.tiles) {
      p.tiles(in);
    }
    p.filters(in);
    if (in.flag()) {
      p.scaling = ScalingLists.read(in);
    }
    in.skip(1);
    in.ue("log2_parallel_merge_level_minus2", 4);
    p.headerExtension = in.flag();
    p.extensions(in);
    return p;
  }

  private void tiles(BitReader in) throws HevcException {
    columns = in.ue("num_tile_columns_minus1", MOST_TILES_ACROSS - 1) + 1;
    rows = in.ue("num_tile_rows_minus1", MOST_TILES_ACROSS - 1) + 1;
    if (!in.flag()) {
      columnWidths = sizes(in, columns);
      rowHeights = sizes(in, rows);
    }
    acrossTiles = in.flag();
  }

  /** All sizes but the last, which takes what is left. */
  private static int[] sizes(BitReader in, int count) throws HevcException {
    int[] sizes = new int[count];
    for (int i = 0; i < count - 1; i++) {
      sizes[i] = in.ue("size of a tile in CTBs, less one", MOST_TILES_ACROSS) + 1;
    }
    return sizes;
  }

  private void filters(BitReader in) throws HevcException {
    acrossSlices = in.flag();
    if (in.flag()) {
      deblockingOverride = in.flag();
      deblockingOff = in.flag();
      if (!deblockingOff) {
        betaOffset = 2 * in.se("pps_beta_offset_div2", -6, 6);
        tcOffset = 2 * in.se("pps_tc_offset_div2", -6, 6);
      }
    }
  }

  private void extensions(BitReader in) throws HevcException {
    if (!in.flag()) {
      return;
    }
    boolean range = in.flag();
    boolean layers = in.flag();
    boolean depth = in.flag();
    boolean screen = in.flag();
    in.skip(4);
    if (range) {
      range(in);
    }
    HevcException.without(layers, "the multilayer extension");
    HevcException.without(depth, "the 3D extension");
    HevcException.without(screen, "the screen content extension");
  }

  private void range(BitReader in) throws HevcException {
    if (transformSkip) {
      transformSkipLog2 = in.ue("log2_max_transform_skip_block_size_minus2", 3) + 2;
    }
    crossComponent = in.flag();
    chromaOffsetLists = in.flag();
    if (chromaOffsetLists) {
      chromaOffsetDepth = in.ue("diff_cu_chroma_qp_offset_depth", 3);
      int length = in.ue("chroma_qp_offset_list_len_minus1", 5) + 1;
      chromaOffsetList = new int[3][length];
      for (int i = 0; i < length; i++) {
        chromaOffsetList[1][i] = in.se("cb_qp_offset_list", -12, 12);
        chromaOffsetList[2][i] = in.se("cr_qp_offset_list", -12, 12);
      }
    }
    saoShift[0] = in.ue("log2_sao_offset_scale_luma", 2);
    saoShift[1] = in.ue("log2_sao_offset_scale_chroma", 2);
    saoShift[2] = saoShift[1];
  }
}
