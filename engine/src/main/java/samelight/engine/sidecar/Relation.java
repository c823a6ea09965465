package samelight.engine.sidecar;

import com.fasterxml.jackson.annotation.JsonProperty;

/**
 * How the number that a raw editor stores follows from a quantity q in the unit that the edit map
 * states.
 *
 * @param kind the form
 * @param scale factor, finite and not 0
 * @param offset summand, finite
 */
public record Relation(
    @JsonProperty(required = true) Kind kind,
    @JsonProperty(required = true) double scale,
    @JsonProperty(required = true) double offset) {
  /** Form of a relation. */
  public enum Kind {
    /** number = scale &middot; q + offset. */
    @JsonProperty("affine")
    AFFINE,
    /** number = scale &middot; log2(q) + offset; q must be positive. */
    @JsonProperty("logarithmic")
    LOGARITHMIC,
    /** number = 2<sup>scale &middot; q + offset</sup>; the number must be positive. */
    @JsonProperty("exponential")
    EXPONENTIAL
  }

  /** The number is the quantity. */
  public static final Relation IDENTITY = new Relation(Kind.AFFINE, 1, 0);

  /**
   * @throws IllegalArgumentException if a constant is out of range
   */
  public Relation {
    if (kind == null) {
      throw new IllegalArgumentException("kind must be given");
    }
    if (!Double.isFinite(scale) || scale == 0 || !Double.isFinite(offset)) {
      throw new IllegalArgumentException(
          "scale must be a finite number other than 0 and offset a finite number, were "
              + scale
              + " and "
              + offset);
    }
  }

  /**
   * The number that stands for a quantity.
   *
   * @throws IllegalArgumentException if the relation has no number for it
   */
  public double number(double quantity) {
    double number =
        switch (kind) {
          case AFFINE -> scale * quantity + offset;
          case LOGARITHMIC -> scale * log2(quantity) + offset;
          case EXPONENTIAL -> Math.pow(2, scale * quantity + offset);
        };
    return finite(number, "quantity " + quantity);
  }

  /**
   * The quantity that a number stands for.
   *
   * @throws IllegalArgumentException if the relation has no quantity for it
   */
  public double quantity(double number) {
    double quantity =
        switch (kind) {
          case AFFINE -> (number - offset) / scale;
          case LOGARITHMIC -> Math.pow(2, (number - offset) / scale);
          case EXPONENTIAL -> (log2(number) - offset) / scale;
        };
    return finite(quantity, "number " + number);
  }

  private double finite(double value, String of) {
    if (!Double.isFinite(value)) {
      throw new IllegalArgumentException(
          "a "
              + kind.name().toLowerCase(java.util.Locale.ROOT)
              + " relation has no value for "
              + of);
    }
    return value;
  }

  private static double log2(double x) {
    return Math.log(x) / Math.log(2);
  }
}
