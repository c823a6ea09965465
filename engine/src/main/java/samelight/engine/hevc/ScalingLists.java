package samelight.engine.hevc;

import java.util.Arrays;

/**
 * Factors of the coefficients ([H.265], 7.3.4, 7.4.5), for intra blocks: {@code factor(log2,
 * component)} has one number a coefficient, rows from the top. Made once and not changed after.
 */
final class ScalingLists {
  /** Table 7-6, intra. */
  private static final int[] INTRA = {
    16, 16, 16, 16, 16, 16, 16, 16, 16, 16, 17, 16, 17, 16, 17, 18, 17, 18, 18, 17, 18, 21, 19, 20,
    21, 20, 19, 21, 24, 22, 22, 24, 24, 22, 22, 24, 25, 25, 27, 30, 27, 25, 25, 29, 31, 35, 35, 31,
    29, 36, 41, 44, 41, 36, 47, 54, 54, 47, 65, 70, 65, 88, 88, 115
  };

  /** Table 7-6, inter: intra lists may be predicted from nothing later, but all are read. */
  private static final int[] INTER = {
    16, 16, 16, 16, 16, 16, 16, 16, 16, 16, 17, 17, 17, 17, 17, 18, 18, 18, 18, 18, 18, 20, 20, 20,
    20, 20, 20, 20, 24, 24, 24, 24, 24, 24, 24, 24, 25, 25, 25, 25, 25, 25, 25, 28, 28, 28, 28, 28,
    28, 33, 33, 33, 33, 33, 41, 41, 41, 41, 54, 54, 54, 71, 71, 91
  };

  private static final int MATRICES = 6;

  private final int[][][] lists = new int[4][MATRICES][];
  private final int[][] dc = new int[4][MATRICES];

  /** By size, then component. */
  private final int[][][] factors = new int[4][3][];

  private ScalingLists() {
    for (int size = 0; size < 4; size++) {
      for (int matrix = 0; matrix < MATRICES; matrix++) {
        standard(size, matrix);
      }
    }
  }

  private void standard(int size, int matrix) {
    if (size == 0) {
      lists[size][matrix] = new int[16];
      Arrays.fill(lists[size][matrix], 16);
    } else {
      lists[size][matrix] = matrix < 3 ? INTRA : INTER;
    }
    dc[size][matrix] = 16;
  }

  /** The lists where a stream has none of its own. */
  static ScalingLists standard() {
    ScalingLists s = new ScalingLists();
    s.unfold();
    return s;
  }

  /** Reads scaling_list_data. */
  static ScalingLists read(BitReader in) throws HevcException {
    ScalingLists s = new ScalingLists();
    for (int size = 0; size < 4; size++) {
      for (int matrix = 0; matrix < MATRICES; matrix += size == 3 ? 3 : 1) {
        s.readOne(in, size, matrix);
      }
    }
    s.unfold();
    return s;
  }

  private void readOne(BitReader in, int size, int matrix) throws HevcException {
    if (!in.flag()) {
      int step = size == 3 ? 3 : 1;
      int back = step * in.ue("scaling_list_pred_matrix_id_delta", matrix / step);
      if (back == 0) {
        standard(size, matrix);
      } else {
        lists[size][matrix] = lists[size][matrix - back];
        dc[size][matrix] = dc[size][matrix - back];
      }
      return;
    }
    int next = 8;
    if (size > 1) {
      next = in.se("scaling_list_dc_coef_minus8", -7, 247) + 8;
      dc[size][matrix] = next;
    }
    int[] list = new int[size == 0 ? 16 : 64];
    for (int i = 0; i < list.length; i++) {
      next = (next + in.se("scaling_list_delta_coef", -128, 127)) & 0xFF;
      list[i] = next;
    }
    lists[size][matrix] = list;
  }

  private void unfold() {
    for (int size = 0; size < 4; size++) {
      for (int c = 0; c < 3; c++) {
        // Chroma of 32 x 32 takes the lists of 16 x 16 (7-xx for ChromaArrayType 3).
        int from = size == 3 && c > 0 ? 2 : size;
        factors[size][c] = unfolded(lists[from][c], dc[from][c], size + 2);
      }
    }
  }

  private static int[] unfolded(int[] list, int dc, int log2) {
    int n = 1 << log2;
    int down = Math.max(0, log2 - 3);
    int[] scan = Scans.diagonal(log2 == 2 ? 2 : 3);
    int side = log2 == 2 ? 2 : 3;
    int[] byPlace = new int[list.length];
    for (int i = 0; i < list.length; i++) {
      byPlace[scan[i]] = list[i];
    }
    int[] out = new int[n * n];
    for (int y = 0; y < n; y++) {
      for (int x = 0; x < n; x++) {
        out[y * n + x] = byPlace[(y >> down << side) + (x >> down)];
      }
    }
    if (log2 > 3) {
      out[0] = dc;
    }
    return out;
  }

  /**
   * Factors for a block.
   *
   * @param log2 of its side, 2 to 5
   * @param component 0 luma, 1 Cb, 2 Cr
   */
  int[] factors(int log2, int component) {
    return factors[log2 - 2][component];
  }
}
