package samelight.engine.hevc;

import org.jspecify.annotations.Nullable;

/** A sequence parameter set ([H.265], 7.3.2.2), with the range extensions. */
final class SequenceParameters {
  private static final int MOST_SIDE = 16_384;

  int id;
  int chromaFormat;
  int width;
  int height;

  /** Samples of luma to cut off. */
  int left;

  int right;
  int top;
  int bottom;

  final int[] bitDepth = new int[3];
  int pocBits;
  int minBlockLog2;
  int ctbLog2;
  int minTransformLog2;
  int maxTransformLog2;
  int transformDepth;
  @Nullable ScalingLists scaling;
  boolean sao;
  boolean pcm;
  final int[] pcmDepth = new int[3];
  int pcmMinLog2;
  int pcmMaxLog2;
  boolean pcmUnfiltered;
  ReferenceSets referenceSets = new ReferenceSets();
  int longTermSets;
  boolean longTerm;
  boolean temporalVectors;
  boolean strongSmoothing;
  ColourSignal colour = ColourSignal.UNSPECIFIED;
  boolean skipRotation;
  boolean skipContext;
  boolean implicitDifferences;
  boolean noSmoothing;
  boolean persistentRice;

  private SequenceParameters() {}

  /** Reads a set. */
  static SequenceParameters read(byte[] payload) throws HevcException {
    BitReader in = new BitReader(payload);
    SequenceParameters s = new SequenceParameters();
    in.skip(4);
    int subLayers = HevcException.within("sps_max_sub_layers_minus1", in.bits(3), 0, 6);
    in.skip(1);
    profile(in, subLayers);
    s.id = in.ue("sps_seq_parameter_set_id", 15);
    s.sizes(in);
    s.pocBits = in.ue("log2_max_pic_order_cnt_lsb_minus4", 12) + 4;
    int infos = in.flag() ? subLayers + 1 : 1;
    for (int i = 0; i < 3 * infos; i++) {
      in.ue();
    }
    s.blocks(in);
    s.tools(in);
    if (in.flag()) {
      s.colour = UsabilityInfo.read(in, subLayers);
    }
    s.extensions(in);
    return s;
  }

  private static void profile(BitReader in, int subLayers) throws HevcException {
    in.skip(88 + 8);
    int bits = 0;
    for (int i = 0; i < subLayers; i++) {
      bits += (in.flag() ? 88 : 0) + (in.flag() ? 8 : 0);
    }
    if (subLayers > 0) {
      in.skip(2L * (8 - subLayers));
    }
    in.skip(bits);
  }

  private void sizes(BitReader in) throws HevcException {
    chromaFormat = in.ue("chroma_format_idc", 3);
    HevcException.without(chromaFormat == 3 && in.flag(), "planes coded apart");
    width = HevcException.within("pic_width_in_luma_samples", in.ue(), 1, MOST_SIDE);
    height = HevcException.within("pic_height_in_luma_samples", in.ue(), 1, MOST_SIDE);
    if (in.flag()) {
      left = subWidth() * in.ue("conf_win_left_offset", width);
      right = subWidth() * in.ue("conf_win_right_offset", width);
      top = subHeight() * in.ue("conf_win_top_offset", height);
      bottom = subHeight() * in.ue("conf_win_bottom_offset", height);
    }
    HevcException.within("columns left by the conformance window", width - left - right, 1, width);
    HevcException.within("rows left by the conformance window", height - top - bottom, 1, height);
    bitDepth[0] = in.ue("bit_depth_luma_minus8", 8) + 8;
    bitDepth[1] = in.ue("bit_depth_chroma_minus8", 8) + 8;
    bitDepth[2] = bitDepth[1];
    HevcException.without(Math.max(bitDepth[0], bitDepth[1]) > 12, "samples of more than 12 bits");
  }

  private void blocks(BitReader in) throws HevcException {
    minBlockLog2 = in.ue("log2_min_luma_coding_block_size_minus3", 3) + 3;
    ctbLog2 = minBlockLog2 + in.ue("log2_diff_max_min_luma_coding_block_size", 3);
    HevcException.within("CtbLog2SizeY", ctbLog2, 4, 6);
    minTransformLog2 = in.ue("log2_min_luma_transform_block_size_minus2", 3) + 2;
    HevcException.within("MinTbLog2SizeY", minTransformLog2, 2, minBlockLog2 - 1);
    maxTransformLog2 = minTransformLog2 + in.ue("log2_diff_max_min_luma_transform_block_size", 3);
    HevcException.within("MaxTbLog2SizeY", maxTransformLog2, 2, Math.min(5, ctbLog2));
    int smallest = 1 << minBlockLog2;
    HevcException.within("width modulo the smallest block", width % smallest, 0, 0);
    HevcException.within("height modulo the smallest block", height % smallest, 0, 0);
    in.ue("max_transform_hierarchy_depth_inter", 4);
    transformDepth =
        in.ue("max_transform_hierarchy_depth_intra", Math.max(0, ctbLog2 - minTransformLog2));
  }

  private void tools(BitReader in) throws HevcException {
    if (in.flag()) {
      scaling = in.flag() ? ScalingLists.read(in) : ScalingLists.standard();
    }
    in.skip(1);
    sao = in.flag();
    pcm = in.flag();
    if (pcm) {
      pcm(in);
    }
    referenceSets = ReferenceSets.read(in);
    longTerm = in.flag();
    if (longTerm) {
      longTermSets = in.ue("num_long_term_ref_pics_sps", 32);
      in.skip((long) longTermSets * (pocBits + 1));
    }
    temporalVectors = in.flag();
    strongSmoothing = in.flag();
  }

  private void pcm(BitReader in) throws HevcException {
    pcmDepth[0] = in.bits(4) + 1;
    pcmDepth[1] = in.bits(4) + 1;
    pcmDepth[2] = pcmDepth[1];
    HevcException.within("PcmBitDepthY", pcmDepth[0], 1, bitDepth[0]);
    HevcException.within("PcmBitDepthC", pcmDepth[1], 1, bitDepth[1]);
    pcmMinLog2 = in.ue("log2_min_pcm_luma_coding_block_size_minus3", 2) + 3;
    pcmMaxLog2 = pcmMinLog2 + in.ue("log2_diff_max_min_pcm_luma_coding_block_size", 2);
    HevcException.within("Log2MaxIpcmCbSizeY", pcmMaxLog2, pcmMinLog2, Math.min(5, ctbLog2));
    pcmUnfiltered = in.flag();
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
    if (layers) {
      in.skip(1);
    }
    HevcException.without(depth, "the 3D extension");
    HevcException.without(screen, "the screen content extension");
  }

  private void range(BitReader in) throws HevcException {
    skipRotation = in.flag();
    skipContext = in.flag();
    implicitDifferences = in.flag();
    in.skip(1); // explicit differences: for inter blocks alone
    HevcException.without(in.flag(), "extended precision");
    noSmoothing = in.flag();
    in.skip(1); // offsets of weighted prediction
    persistentRice = in.flag();
    HevcException.without(in.flag(), "aligned bypass bins");
  }

  /** Luma samples a chroma sample stands for, across. */
  int subWidth() {
    return chromaFormat == 1 || chromaFormat == 2 ? 2 : 1;
  }

  /** Luma samples a chroma sample stands for, down. */
  int subHeight() {
    return chromaFormat == 1 ? 2 : 1;
  }

  int ctbsWide() {
    return (width + (1 << ctbLog2) - 1) >> ctbLog2;
  }

  int ctbsHigh() {
    return (height + (1 << ctbLog2) - 1) >> ctbLog2;
  }
}
