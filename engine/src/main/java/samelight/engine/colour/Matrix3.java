package samelight.engine.colour;

import java.util.Arrays;

/** A 3 x 3 matrix, immutable; the operations that white points need. */
public final class Matrix3 {
  /** The matrix that changes nothing. */
  public static final Matrix3 IDENTITY = diagonal(1, 1, 1);

  private final double[] m;

  private Matrix3(double[] m) {
    this.m = m;
  }

  /**
   * From nine elements, row by row.
   *
   * @throws IllegalArgumentException if there aren't nine, or one isn't finite
   */
  public static Matrix3 of(double... elements) {
    if (elements.length != 9) {
      throw new IllegalArgumentException(
          "matrix needs 9 elements, had " + Arrays.toString(elements));
    }
    for (double e : elements) {
      if (!Double.isFinite(e)) {
        throw new IllegalArgumentException(
            "matrix elements must be finite, were " + Arrays.toString(elements));
      }
    }
    return new Matrix3(elements.clone());
  }

  /**
   * From its diagonal, zero elsewhere.
   *
   * @throws IllegalArgumentException if an element isn't finite
   */
  public static Matrix3 diagonal(double a, double b, double c) {
    return of(a, 0, 0, 0, b, 0, 0, 0, c);
  }

  /**
   * One element.
   *
   * @param row 0 to 2
   * @param column 0 to 2
   */
  public double at(int row, int column) {
    return m[row * 3 + column];
  }

  /** This matrix times another. */
  public Matrix3 times(Matrix3 other) {
    double[] r = new double[9];
    for (int i = 0; i < 3; i++) {
      for (int j = 0; j < 3; j++) {
        r[i * 3 + j] =
            at(i, 0) * other.at(0, j) + at(i, 1) * other.at(1, j) + at(i, 2) * other.at(2, j);
      }
    }
    return new Matrix3(r);
  }

  /**
   * This matrix times a column.
   *
   * @param column three numbers
   */
  public double[] times(double[] column) {
    double[] r = new double[3];
    for (int i = 0; i < 3; i++) {
      r[i] = at(i, 0) * column[0] + at(i, 1) * column[1] + at(i, 2) * column[2];
    }
    return r;
  }

  /** Element by element, this at weight 0 and {@code other} at weight 1. */
  Matrix3 blend(Matrix3 other, double weight) {
    double[] r = new double[9];
    for (int i = 0; i < 9; i++) {
      r[i] = m[i] + (other.m[i] - m[i]) * weight;
    }
    return new Matrix3(r);
  }

  /**
   * The inverse.
   *
   * @throws IllegalArgumentException if there is none
   */
  public Matrix3 inverse() {
    double c0 = m[4] * m[8] - m[5] * m[7];
    double c1 = m[5] * m[6] - m[3] * m[8];
    double c2 = m[3] * m[7] - m[4] * m[6];
    double det = m[0] * c0 + m[1] * c1 + m[2] * c2;
    double scale = 0;
    for (double v : m) {
      scale = Math.max(scale, Math.abs(v));
    }
    if (!(Math.abs(det) > 1e-12 * scale * scale * scale)) {
      throw new IllegalArgumentException("matrix must have an inverse, was " + this);
    }
    return new Matrix3(
        new double[] {
          c0 / det,
          (m[2] * m[7] - m[1] * m[8]) / det,
          (m[1] * m[5] - m[2] * m[4]) / det,
          c1 / det,
          (m[0] * m[8] - m[2] * m[6]) / det,
          (m[2] * m[3] - m[0] * m[5]) / det,
          c2 / det,
          (m[1] * m[6] - m[0] * m[7]) / det,
          (m[0] * m[4] - m[1] * m[3]) / det
        });
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Matrix3 that && Arrays.equals(m, that.m);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(m);
  }

  @Override
  public String toString() {
    return Arrays.toString(m);
  }
}
