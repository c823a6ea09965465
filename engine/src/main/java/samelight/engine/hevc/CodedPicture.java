package samelight.engine.hevc;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * Planes of a picture while it is decoded, and what is known of each unit of 4 x 4 luma samples.
 */
final class CodedPicture {
  /** Left edge of a unit is filtered. */
  static final int EDGE_LEFT = 1;

  /** Top edge of a unit is filtered. */
  static final int EDGE_TOP = 2;

  final SequenceParameters sps;
  final PictureParameters pps;
  final TileGrid grid;
  final int components;
  final short[][] planes;
  final int[] widths = new int[3];
  final int[] heights = new int[3];
  final int unitsWide;
  final int unitsHigh;

  /** By unit: number of the slice and tile whose samples stand there; 0 before that. */
  final int[] region;

  /** By unit: luma mode. */
  final byte[] mode;

  /** By unit: depth of the coding block in its tree. */
  final byte[] depth;

  /** By unit: QpY. */
  final byte[] qp;

  /** By unit: whether the loop filters leave its samples alone. */
  final boolean[] untouched;

  /** By unit: which of its edges are filtered. */
  final byte[] edges;

  /** By coding tree block. */
  final @Nullable SliceHeader[] slices;

  final @Nullable SaoParameters[] sao;

  /** Whether any block is left alone by the filters. */
  boolean anyUntouched;

  CodedPicture(SequenceParameters sps, PictureParameters pps) throws HevcException {
    this.sps = sps;
    this.pps = pps;
    this.grid = new TileGrid(sps, pps);
    this.components = sps.chromaFormat == 0 ? 1 : 3;
    this.planes = new short[components][];
    for (int c = 0; c < components; c++) {
      widths[c] = c == 0 ? sps.width : sps.width / sps.subWidth();
      heights[c] = c == 0 ? sps.height : sps.height / sps.subHeight();
      planes[c] = new short[widths[c] * heights[c]];
    }
    this.unitsWide = sps.width >> 2;
    this.unitsHigh = sps.height >> 2;
    int units = unitsWide * unitsHigh;
    this.region = new int[units];
    this.mode = new byte[units];
    this.depth = new byte[units];
    this.qp = new byte[units];
    this.untouched = new boolean[units];
    this.edges = new byte[units];
    this.slices = new SliceHeader[sps.ctbsWide() * sps.ctbsHigh()];
    this.sao = new SaoParameters[slices.length];
  }

  /** The unit that a luma sample lies in. */
  int unit(int x, int y) {
    return (y >> 2) * unitsWide + (x >> 2);
  }

  /** The coding tree block that a luma sample lies in. */
  int ctb(int x, int y) {
    return (y >> sps.ctbLog2) * sps.ctbsWide() + (x >> sps.ctbLog2);
  }

  /** Whether a luma sample lies in the picture and was decoded in a slice and tile. */
  boolean available(int x, int y, int inRegion) {
    return x >= 0 && y >= 0 && x < sps.width && y < sps.height && region[unit(x, y)] == inRegion;
  }

  /** The slice of a coding tree block that was decoded. */
  SliceHeader slice(int ctb) {
    SliceHeader h = slices[ctb];
    if (h == null) {
      throw new IllegalStateException("block " + ctb + " isn't decoded");
    }
    return h;
  }

  /** Sets a square of a map. */
  void fill(byte[] map, int x, int y, int size, int value) {
    int units = size >> 2;
    for (int row = 0, at = unit(x, y); row < units; row++, at += unitsWide) {
      Arrays.fill(map, at, at + units, (byte) value);
    }
  }

  /** Says that the samples of a square stand. */
  void decoded(int x, int y, int size, int inRegion) {
    int units = size >> 2;
    for (int row = 0, at = unit(x, y); row < units; row++, at += unitsWide) {
      Arrays.fill(region, at, at + units, inRegion);
    }
  }

  /** Leaves a block as it is. */
  void leaveAlone(int x, int y, int size) {
    anyUntouched = true;
    int units = size >> 2;
    for (int row = 0, at = unit(x, y); row < units; row++, at += unitsWide) {
      Arrays.fill(untouched, at, at + units, true);
    }
  }

  /** Marks the left and top edge of a transform block as edges that are filtered (8.7.2.3). */
  void markEdges(int x, int y, int size, SliceHeader header) {
    if (header.deblockingOff) {
      return;
    }
    int units = size >> 2;
    int at = unit(x, y);
    if ((x & 7) == 0 && crosses(x, y, x - 1, y, header)) {
      for (int i = 0; i < units; i++) {
        edges[at + i * unitsWide] |= EDGE_LEFT;
      }
    }
    if ((y & 7) == 0 && crosses(x, y, x, y - 1, header)) {
      for (int i = 0; i < units; i++) {
        edges[at + i] |= EDGE_TOP;
      }
    }
  }

  /** Whether filters may cross from a block to what lies left or above. */
  private boolean crosses(int x, int y, int otherX, int otherY, SliceHeader header) {
    if (otherX < 0 || otherY < 0) {
      return false;
    }
    int here = ctb(x, y);
    int there = ctb(otherX, otherY);
    if (here == there) {
      return true;
    }
    SliceHeader other = slices[there];
    boolean sameSlice = other != null && other.sliceAddress == header.sliceAddress;
    return (sameSlice || header.acrossSlices)
        && (pps.acrossTiles || grid.tile[here] == grid.tile[there]);
  }
}
