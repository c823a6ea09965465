package samelight.engine.hevc;

/** A coding unit while it is decoded. */
final class CodingUnit {
  int x;
  int y;
  int log2;
  boolean lossless;

  /** Whether it has four luma blocks with modes of their own. */
  boolean quartered;

  /** By quarter. */
  final int[] lumaMode = new int[4];

  /** By quarter; for 4:2:0 and 4:2:2 only the first. */
  final int[] chromaMode = new int[4];

  /** Whether intra_chroma_pred_mode takes over luma's. */
  final boolean[] chromaLikeLuma = new boolean[4];
}
