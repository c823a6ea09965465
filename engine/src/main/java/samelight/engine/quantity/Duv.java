package samelight.engine.quantity;

/**
 * The signed distance of a white point from the Planckian locus in the (u&prime;, 2/3 v&prime;)
 * diagram, positive above it (towards green) ([ANSI-C78.377]).
 *
 * @param value -0.2 to 0.2; or a difference of two
 */
public record Duv(double value) implements Comparable<Duv> {
  /** On the locus. */
  public static final Duv ZERO = new Duv(0);

  /**
   * @throws IllegalArgumentException if {@code value} is out of range
   */
  public Duv {
    Range.within("Duv", value, -0.2, 0.2);
    value = value + 0.0;
  }

  @Override
  public int compareTo(Duv other) {
    return Double.compare(value, other.value);
  }
}
