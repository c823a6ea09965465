package samelight.engine.likeness;

import java.util.HashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Transform and working space of one thread for views of two shapes. Correlations lie in rows, one
 * for each displacement down, all levels side by side, each with {@link #span} displacements across
 * from {@link #first} on. Displacements down go round.
 */
final class Desk {
  /** Shapes of a shoot are few; a shoot of a thousand shapes isn't to fill the memory. */
  private static final int MOST = 64;

  /** Rows that views need that lie flat; others need twice as many. */
  static final int FLAT = 32;

  private static final int MOST_LINES = 21;

  private static final ThreadLocal<Map<Key, Desk>> KEPT = ThreadLocal.withInitial(HashMap::new);

  private record Key(Scales.Shape a, Scales.Shape b, int levels) {}

  final int rows;
  final int span;
  private final int together;

  /** By part of the ladder and level. */
  final int[][] first;

  /** Which rows have a displacement at which enough overlaps. */
  final boolean[] used;

  final Fourier fourier;

  /** Spectra, and what becomes of them. */
  final float[][] productRe;

  final float[][] productIm;

  /** Spectra of the largest levels of both views, as many times side by side as levels are. */
  final Largest one;

  final Largest other;
  final float[][] re;
  final float[][] im;

  /** The highest of each column. */
  final float[] highest;

  /** The spectrum of a view's largest level, several times side by side. */
  static final class Largest {
    final float[][] re;
    final float[][] im;
    private final int rows;
    private Scales.@Nullable Spectra of;

    private Largest(int times, int rows) {
      this.rows = rows;
      re = new float[Scales.NX][times * rows];
      im = new float[Scales.NX][times * rows];
    }

    /** Takes that of a view, if it isn't the one that was taken last. */
    @SuppressWarnings("ReferenceEquality") // the same arrays, not like ones
    void take(Scales.Spectra s) {
      if (of == s) {
        return;
      }
      for (int x = 0; x < Scales.NX; x++) {
        for (int at = 0; at < re[x].length; at += rows) {
          System.arraycopy(s.re[0][x], 0, re[x], at, rows);
          System.arraycopy(s.im[0][x], 0, im[x], at, rows);
        }
      }
      of = s;
    }
  }

  private Desk(Key key) {
    int highest = Math.max(key.a.height(0), key.b.height(0));
    rows = highest <= MOST_LINES ? FLAT : 2 * FLAT;
    together = Scales.together(key.levels);
    first = new int[Math.floorDiv(key.levels, together)][together];
    used = new boolean[rows];
    int widest = 0;
    for (int k = 0; k < key.levels; k++) {
      Overlap one = Overlap.of(key.a, key.b, k);
      Overlap other = Overlap.of(key.b, key.a, k);
      for (Overlap o : new Overlap[] {one, other}) {
        for (int y = o.top(); y <= o.bottom(); y++) {
          used[y & (rows - 1)] = true;
        }
      }
      int left = Math.min(one.left(), other.left());
      first[Math.floorDiv(k, together)][k % together] = left;
      widest = Math.max(widest, Math.max(one.right(), other.right()) - left + 1);
    }
    span = (widest + Rows.AT_ONCE - 1) / Rows.AT_ONCE * Rows.AT_ONCE;
    fourier = new Fourier(Scales.NX, rows);
    productRe = new float[Scales.NX][together * rows];
    productIm = new float[Scales.NX][together * rows];
    this.one = new Largest(together, rows);
    this.other = new Largest(together, rows);
    re = new float[rows][together * span];
    im = new float[rows][together * span];
    this.highest = new float[together * span];
  }

  /** For two shapes; in the other order they have the same rows. */
  static Desk of(Scales.Shape a, Scales.Shape b, int levels) {
    Map<Key, Desk> kept = KEPT.get();
    Key key = new Key(a, b, levels);
    if (kept.size() >= MOST && !kept.containsKey(key)) {
      kept.clear();
    }
    return kept.computeIfAbsent(key, Desk::new);
  }

  /** Where a row has a displacement across at a level. */
  int column(int level, int x) {
    int at = level % together;
    return at * span + x - first[Math.floorDiv(level, together)][at];
  }
}
