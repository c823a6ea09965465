package samelight.engine.likeness;

/**
 * Planes as arrays of rows. Loops that go through whole rows at one index are turned into vector
 * instructions by the compiler; through parts of one long array they aren't.
 */
final class Rows {
  /** Rows that are turned into columns at once. */
  static final int AT_ONCE = 4;

  private Rows() {}

  static float[][] of(Plane p) {
    float[][] rows = new float[p.height][p.width];
    for (int y = 0; y < p.height; y++) {
      System.arraycopy(p.v, y * p.width, rows[y], 0, p.width);
    }
    return rows;
  }

  static Plane plane(float[][] rows) {
    Plane p = new Plane(rows[0].length, rows.length);
    for (int y = 0; y < p.height; y++) {
      System.arraycopy(rows[y], 0, p.v, y * p.width, p.width);
    }
    return p;
  }

  /** Four rows, from a place on, become four columns of what may be wider. */
  static void turn(float[] a, float[] b, float[] c, float[] d, int at, float[][] to, int column) {
    for (int i = 0; i < to.length; i++) {
      float[] row = to[i];
      row[column] = a[at + i];
      row[column + 1] = b[at + i];
      row[column + 2] = c[at + i];
      row[column + 3] = d[at + i];
    }
  }

  private static void turn(float[][] from, float[][] to) {
    int y = 0;
    for (; y + AT_ONCE <= from.length; y += AT_ONCE) {
      turn(from[y], from[y + 1], from[y + 2], from[y + 3], 0, to, y);
    }
    for (; y < from.length; y++) {
      for (int x = 0; x < to.length; x++) {
        to[x][y] = from[y][x];
      }
    }
  }

  /** Mean of means over squares of 2r+1 pixels, shrunk at the borders. */
  static float[][] boxMeanTwice(float[][] rows, int r) {
    float[][] upright = new float[rows.length][rows[0].length];
    float[][] spare = new float[rows.length][rows[0].length];
    float[][] lying = new float[rows[0].length][rows.length];
    float[][] other = new float[rows[0].length][rows.length];
    meansDown(rows, r, spare);
    meansDown(spare, r, upright);
    turn(upright, lying);
    meansDown(lying, r, other);
    meansDown(other, r, lying);
    turn(lying, upright);
    return upright;
  }

  private static void meansDown(float[][] in, int r, float[][] out) {
    int n = in.length;
    float[] sum = new float[in[0].length];
    for (int y = 0; y <= Math.min(r, n - 1); y++) {
      add(in[y], sum);
    }
    for (int y = 0; y < n; y++) {
      int count = Math.min(n - 1, y + r) - Math.max(0, y - r) + 1;
      scale(sum, 1f / count, out[y]);
      if (y + r + 1 < n) {
        add(in[y + r + 1], sum);
      }
      if (y - r >= 0) {
        take(in[y - r], sum);
      }
    }
  }

  static void add(float[] v, float[] sum) {
    for (int i = 0; i < sum.length; i++) {
      sum[i] += v[i];
    }
  }

  private static void take(float[] v, float[] sum) {
    for (int i = 0; i < sum.length; i++) {
      sum[i] -= v[i];
    }
  }

  private static void scale(float[] v, float by, float[] out) {
    for (int i = 0; i < out.length; i++) {
      out[i] = v[i] * by;
    }
  }

  static void addPart(float[] v, float share, float[] sum) {
    for (int i = 0; i < sum.length; i++) {
      sum[i] += share * v[i];
    }
  }

  /** See {@link Plane#localContrast}. */
  static float[][] localContrast(float[][] rows, int meanRadius, int deviationRadius, float floor) {
    float[][] flat = boxMeanTwice(rows, meanRadius);
    float[][] square = new float[rows.length][rows[0].length];
    for (int y = 0; y < rows.length; y++) {
      without(rows[y], flat[y], square[y]);
    }
    float[][] variance = boxMeanTwice(square, deviationRadius);
    for (int y = 0; y < rows.length; y++) {
      normalise(flat[y], variance[y], floor);
    }
    return flat;
  }

  private static void without(float[] v, float[] mean, float[] square) {
    for (int i = 0; i < square.length; i++) {
      mean[i] = v[i] - mean[i];
      square[i] = mean[i] * mean[i];
    }
  }

  private static void normalise(float[] flat, float[] variance, float floor) {
    for (int i = 0; i < flat.length; i++) {
      flat[i] = flat[i] / ((float) Math.sqrt(Math.max(0f, variance[i])) + floor);
    }
  }
}
