package samelight.engine.sidecar;

import com.fasterxml.jackson.annotation.JsonInclude;
import com.fasterxml.jackson.annotation.JsonProperty;
import org.jspecify.annotations.Nullable;

/**
 * A property of a raw editor that holds a number which is compensated.
 *
 * @param namespace namespace URI
 * @param property local name
 * @param part where the number stands in a property that is a structure or an array, such as {@code
 *     Tone/Lift}, {@code [2]}, {@code [Kind=tone]/Lift} or {@code ?Lift}; not given where the
 *     property itself is the number
 * @param unit unit of the quantity
 * @param relation how the number follows from the quantity; the number itself where not given
 * @param min lowest number that the editor takes, or null
 * @param max highest number that the editor takes, or null
 * @param absent the number that the absence of the property stands for, or null where its absence
 *     says nothing
 * @param example how the editor writes the number, such as {@code +0.35}; used where the reference
 *     doesn't have it
 */
@JsonInclude(JsonInclude.Include.NON_NULL)
public record NumberProperty(
    @JsonProperty(required = true) String namespace,
    @JsonProperty(required = true) String property,
    @Nullable String part,
    @JsonProperty(required = true) Unit unit,
    @Nullable Relation relation,
    @Nullable Double min,
    @Nullable Double max,
    @Nullable Double absent,
    @Nullable String example) {
  /** Unit of a compensated quantity. */
  public enum Unit {
    /** Stops, + brightens. */
    @JsonProperty("stops")
    STOPS,
    /** Colour temperature in kelvin. */
    @JsonProperty("kelvin")
    KELVIN,
    /** Reciprocal colour temperature in mired. */
    @JsonProperty("mired")
    MIRED,
    /** Distance from the Planckian locus. */
    @JsonProperty("duv")
    DUV
  }

  /**
   * @throws IllegalArgumentException if the name or the part is none, or min is above max
   */
  public NumberProperty {
    NumberPlace name = NumberPlace.of(new PropertyName(namespace, property), part);
    if (unit == null) {
      throw new IllegalArgumentException("unit of " + name + " must be given");
    }
    if (example != null && NumberStyle.parse(example) == null) {
      throw new IllegalArgumentException("example must be a number, was \"" + example + "\"");
    }
    if (min != null && max != null && !(min < max)) {
      throw new IllegalArgumentException("min must be below max, were " + min + " and " + max);
    }
  }

  /** Name of the top-level property. */
  public PropertyName name() {
    return new PropertyName(namespace, property);
  }

  /** Where the number stands. */
  NumberPlace place() {
    return NumberPlace.of(name(), part);
  }

  /** Its relation, the identity where none is given. */
  public Relation relationOrIdentity() {
    return relation == null ? Relation.IDENTITY : relation;
  }
}
