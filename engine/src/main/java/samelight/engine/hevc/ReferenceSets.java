package samelight.engine.hevc;

import java.util.ArrayList;
import java.util.List;

/**
 * Short-term reference picture sets ([H.265], 7.3.7, 7.4.8). A picture that stands alone refers to
 * none, but they lie between fields that matter, and each says how long the next is.
 */
final class ReferenceSets {
  private static final int MOST_SETS = 64;
  private static final int MOST_PICTURES = 16;

  private final List<List<Integer>> sets = new ArrayList<>();

  /** Reads the sets of a sequence parameter set. */
  static ReferenceSets read(BitReader in) throws HevcException {
    ReferenceSets r = new ReferenceSets();
    int count = in.ue("num_short_term_ref_pic_sets", MOST_SETS);
    for (int i = 0; i < count; i++) {
      r.sets.add(r.set(in, i, false));
    }
    return r;
  }

  int count() {
    return sets.size();
  }

  /** Passes over the set that a slice header has of its own. */
  void skipInSlice(BitReader in) throws HevcException {
    set(in, sets.size(), true);
  }

  private List<Integer> set(BitReader in, int index, boolean inSlice) throws HevcException {
    return index != 0 && in.flag() ? predicted(in, index, inSlice) : plain(in);
  }

  private static List<Integer> plain(BitReader in) throws HevcException {
    int negative = in.ue("num_negative_pics", MOST_PICTURES);
    int positive = in.ue("num_positive_pics", MOST_PICTURES);
    List<Integer> deltas = new ArrayList<>();
    int delta = 0;
    for (int i = 0; i < negative + positive; i++) {
      if (i == negative) {
        delta = 0;
      }
      int step = in.ue("delta_poc_minus1", 0x7FFF) + 1;
      delta += i < negative ? -step : step;
      deltas.add(delta);
      in.skip(1);
    }
    return deltas;
  }

  private List<Integer> predicted(BitReader in, int index, boolean inSlice) throws HevcException {
    int back = inSlice ? in.ue("delta_idx_minus1", index - 1) + 1 : 1;
    List<Integer> from = sets.get(index - back);
    boolean down = in.flag();
    int step = in.ue("abs_delta_rps_minus1", 0x7FFF) + 1;
    int shift = down ? -step : step;
    List<Integer> deltas = new ArrayList<>();
    for (int i = 0; i <= from.size(); i++) {
      boolean used = in.flag(); // by this picture
      boolean kept = used || in.flag();
      int delta = (i < from.size() ? from.get(i) : 0) + shift;
      if (kept && delta != 0) {
        deltas.add(delta);
      }
    }
    HevcException.within("pictures of a reference set", deltas.size(), 0, MOST_PICTURES);
    deltas.sort(ReferenceSets::closestFirst);
    return deltas;
  }

  /** Those before the picture first, each side from the closest on. */
  private static int closestFirst(int a, int b) {
    return a < 0 == b < 0 ? Integer.compare(Math.abs(a), Math.abs(b)) : a < 0 ? -1 : 1;
  }
}
