package samelight.engine.hevc;

import java.util.List;

/**
 * A decoded picture, cut to its conformance window.
 *
 * @param width samples of luma in a row
 * @param height rows of luma
 * @param chromaFormat chroma_format_idc: 0 luma alone, 1 4:2:0, 2 4:2:2, 3 4:4:4
 * @param lumaDepth bits of a luma sample, 8 to 12
 * @param chromaDepth bits of a chroma sample, 8 to 12
 * @param colour what the stream says about its colours
 * @param planes luma, Cb, Cr, rows from the top; callers must not change them
 */
@SuppressWarnings("ArrayRecordComponent") // handed on once, never compared
public record HevcPicture(
    int width,
    int height,
    int chromaFormat,
    int lumaDepth,
    int chromaDepth,
    ColourSignal colour,
    List<short[]> planes) {

  /** Samples of chroma in a row; 0 where there is no chroma. */
  public int chromaWidth() {
    return chromaFormat == 0 ? 0 : chromaFormat == 3 ? width : (width + 1) / 2;
  }

  /** Rows of chroma; 0 where there is no chroma. */
  public int chromaHeight() {
    return chromaFormat == 0 ? 0 : chromaFormat == 1 ? (height + 1) / 2 : height;
  }

  /** Cuts a coded picture to its window. */
  static HevcPicture of(CodedPicture p) {
    SequenceParameters s = p.sps;
    int width = s.width - s.left - s.right;
    int height = s.height - s.top - s.bottom;
    short[][] planes = new short[p.components][];
    for (int c = 0; c < p.components; c++) {
      int across = c == 0 ? 1 : s.subWidth();
      int down = c == 0 ? 1 : s.subHeight();
      planes[c] =
          cut(
              p.planes[c],
              p.widths[c],
              s.left / across,
              s.top / down,
              (width + across - 1) / across,
              (height + down - 1) / down);
    }
    return new HevcPicture(
        width, height, s.chromaFormat, s.bitDepth[0], s.bitDepth[1], s.colour, List.of(planes));
  }

  private static short[] cut(short[] plane, int stride, int left, int top, int wide, int high) {
    if (wide == stride && wide * high == plane.length) {
      return plane;
    }
    short[] out = new short[wide * high];
    for (int y = 0; y < high; y++) {
      System.arraycopy(plane, (top + y) * stride + left, out, y * wide, wide);
    }
    return out;
  }
}
