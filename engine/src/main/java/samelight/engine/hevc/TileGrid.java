package samelight.engine.hevc;

import org.jspecify.annotations.Nullable;

/**
 * The order in which the coding tree blocks of a picture come ([H.265], 6.5.1), in raster order
 * inside a tile, tile after tile.
 */
final class TileGrid {
  /** By place in the stream: address in raster order. */
  final int[] address;

  /** By address: place in the stream. */
  final int[] place;

  /** By address: number of the tile. */
  final int[] tile;

  /** By address: whether it begins a row of its tile. */
  final boolean[] rowStart;

  TileGrid(SequenceParameters sps, PictureParameters pps) throws HevcException {
    int wide = sps.ctbsWide();
    int high = sps.ctbsHigh();
    int[] x = borders(pps.columnWidths, pps.columns, wide, "columns of tiles");
    int[] y = borders(pps.rowHeights, pps.rows, high, "rows of tiles");
    address = new int[wide * high];
    place = new int[wide * high];
    tile = new int[wide * high];
    rowStart = new boolean[wide * high];
    int next = 0;
    for (int row = 0; row < pps.rows; row++) {
      for (int column = 0; column < pps.columns; column++) {
        for (int at = y[row]; at < y[row + 1]; at++) {
          rowStart[at * wide + x[column]] = true;
          for (int i = at * wide + x[column]; i < at * wide + x[column + 1]; i++) {
            address[next] = i;
            place[i] = next++;
            tile[i] = row * pps.columns + column;
          }
        }
      }
    }
  }

  /** Where tiles begin, and behind them where the last ends. */
  private static int[] borders(int @Nullable [] sizes, int count, int all, String what)
      throws HevcException {
    HevcException.within(what, count, 1, all);
    int[] borders = new int[count + 1];
    for (int i = 1; i < count; i++) {
      borders[i] = sizes == null ? i * all / count : borders[i - 1] + sizes[i - 1];
      HevcException.within("end of a tile", borders[i], 1, all - 1);
    }
    borders[count] = all;
    return borders;
  }
}
