package samelight.samples.light;

import java.util.Locale;

/** A 3 by 3 matrix, immutable. */
public final class Matrix3 {

  /** Linear sRGB to XYZ with a white of D65 (IEC 61966-2-1, four decimals as published). */
  public static final Matrix3 SRGB_TO_XYZ =
      of(0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505);

  /** XYZ to linear sRGB: the inverse of {@link #SRGB_TO_XYZ}. */
  public static final Matrix3 XYZ_TO_SRGB = SRGB_TO_XYZ.inverse();

  /** The cone-like responses of the Bradford transform (Lam 1985; also in ICC.1, Annex E). */
  private static final Matrix3 BRADFORD =
      of(0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296);

  private static final Matrix3 BRADFORD_INVERSE = BRADFORD.inverse();

  private final double[] m;

  private Matrix3(double[] m) {
    this.m = m;
  }

  /** Row by row. */
  public static Matrix3 of(double... rows) {
    if (rows.length != 9) {
      throw new IllegalArgumentException("a 3x3 matrix has 9 numbers, got " + rows.length);
    }
    return new Matrix3(rows.clone());
  }

  /** A diagonal matrix. */
  public static Matrix3 diagonal(double a, double b, double c) {
    return of(a, 0, 0, 0, b, 0, 0, 0, c);
  }

  /** Adaptation of XYZ from one white to another by the linear Bradford transform. */
  public static Matrix3 adaptation(double[] fromXyz, double[] toXyz) {
    double[] f = BRADFORD.times(fromXyz);
    double[] t = BRADFORD.times(toXyz);
    return BRADFORD_INVERSE.times(diagonal(t[0] / f[0], t[1] / f[1], t[2] / f[2])).times(BRADFORD);
  }

  /** Number at a row and column, each 0 to 2. */
  public double at(int row, int column) {
    return m[3 * row + column];
  }

  /** All nine numbers, row by row. */
  public double[] rows() {
    return m.clone();
  }

  /** Matrix product: this after the other. */
  public Matrix3 times(Matrix3 o) {
    double[] r = new double[9];
    for (int i = 0; i < 3; i++) {
      for (int j = 0; j < 3; j++) {
        r[3 * i + j] = m[3 * i] * o.m[j] + m[3 * i + 1] * o.m[3 + j] + m[3 * i + 2] * o.m[6 + j];
      }
    }
    return new Matrix3(r);
  }

  /** Matrix applied to a vector. */
  public double[] times(double[] v) {
    return new double[] {
      m[0] * v[0] + m[1] * v[1] + m[2] * v[2],
      m[3] * v[0] + m[4] * v[1] + m[5] * v[2],
      m[6] * v[0] + m[7] * v[1] + m[8] * v[2]
    };
  }

  /** Weighted sum of two matrices. */
  public Matrix3 blend(double weight, Matrix3 other, double otherWeight) {
    double[] r = new double[9];
    for (int i = 0; i < 9; i++) {
      r[i] = weight * m[i] + otherWeight * other.m[i];
    }
    return new Matrix3(r);
  }

  /**
   * The inverse.
   *
   * @throws ArithmeticException if there is none
   */
  public Matrix3 inverse() {
    double c0 = m[4] * m[8] - m[5] * m[7];
    double c1 = m[5] * m[6] - m[3] * m[8];
    double c2 = m[3] * m[7] - m[4] * m[6];
    double det = m[0] * c0 + m[1] * c1 + m[2] * c2;
    if (det == 0) {
      throw new ArithmeticException("matrix has no inverse: " + this);
    }
    return of(
        c0 / det,
        (m[2] * m[7] - m[1] * m[8]) / det,
        (m[1] * m[5] - m[2] * m[4]) / det,
        c1 / det,
        (m[0] * m[8] - m[2] * m[6]) / det,
        (m[2] * m[3] - m[0] * m[5]) / det,
        c2 / det,
        (m[1] * m[6] - m[0] * m[7]) / det,
        (m[0] * m[4] - m[1] * m[3]) / det);
  }

  @Override
  public String toString() {
    StringBuilder s = new StringBuilder("[");
    for (int i = 0; i < 9; i++) {
      s.append(String.format(Locale.ROOT, i % 3 == 0 && i > 0 ? "; %.4f" : " %.4f", m[i]));
    }
    return s.append(" ]").toString();
  }
}
