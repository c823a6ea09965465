package samelight.engine.sidecar;

import com.fasterxml.jackson.annotation.JsonIgnore;
import com.fasterxml.jackson.annotation.JsonInclude;
import com.fasterxml.jackson.annotation.JsonProperty;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * Which properties of a raw editor's sidecars hold exposure and white balance, and what must stay
 * with its own frame. Written by the photographer, or taught from examples.
 *
 * @param version 1
 * @param files the kind of file it is for, or null for both
 * @param edits where the editor keeps its edits: beside the frame in a sidecar, or inside the
 *     frame's own file, from which they are then only read; in a sidecar where not given
 * @param namespaces namespaces in which the editor keeps its edits; no namespace of the XMP
 *     standard, and not ours
 * @param exposure exposure, in stops
 * @param cct colour temperature, in kelvin or mired, or null where it is not carried
 * @param duv tint, in Duv, or null where it is not carried
 * @param stays properties of these namespaces that stay with their own frame
 * @param travels properties with nested structures that are carried all the same; others of that
 *     form stay with their own frame
 * @param untouched properties as they are in the sidecar of a frame that nobody edited; a frame
 *     that has only these counts as not edited
 */
@JsonInclude(JsonInclude.Include.NON_EMPTY)
public record EditMap(
    @JsonProperty(required = true) int version,
    @Nullable FileKind files,
    @Nullable Place edits,
    @JsonProperty(required = true) List<String> namespaces,
    @JsonProperty(required = true) NumberProperty exposure,
    @Nullable NumberProperty cct,
    @Nullable NumberProperty duv,
    List<PropertyName> stays,
    List<PropertyName> travels,
    List<Untouched> untouched) {

  /** The version that is read and written. */
  public static final int VERSION = 1;

  /** Where an editor keeps its edits. */
  public enum Place {
    /** In a sidecar. */
    @JsonProperty("sidecar")
    SIDECAR,
    /** Inside the frame's own file. */
    @JsonProperty("frame")
    FRAME
  }

  private static final Set<String> STANDARD =
      Set.of(
          "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
          "http://www.w3.org/XML/1998/namespace",
          "adobe:ns:meta/",
          "http://purl.org/dc/elements/1.1/",
          "http://ns.adobe.com/xap/1.0/",
          "http://ns.adobe.com/xap/1.0/rights/",
          "http://ns.adobe.com/xap/1.0/mm/",
          "http://ns.adobe.com/exif/1.0/",
          "http://ns.adobe.com/tiff/1.0/",
          "http://cipa.jp/exif/1.0/",
          RecipeNamespace.URI);

  /**
   * A property as the editor writes it for a frame that nobody edited.
   *
   * @param namespace namespace URI
   * @param property local name
   * @param value its value, or for a structure or array a hash of it ({@code sha256:...}); null
   *     where it differs between frames that nobody edited, so that it tells nothing
   */
  @JsonInclude(JsonInclude.Include.NON_NULL)
  public record Untouched(
      @JsonProperty(required = true) String namespace,
      @JsonProperty(required = true) String property,
      @Nullable String value) {
    /** Its name. */
    public PropertyName name() {
      return new PropertyName(namespace, property);
    }
  }

  /**
   * @throws IllegalArgumentException if a rule above does not hold
   */
  public EditMap {
    if (version != VERSION) {
      throw new IllegalArgumentException("version must be " + VERSION + ", was " + version);
    }
    namespaces = namespaces == null ? List.of() : List.copyOf(namespaces);
    stays = stays == null ? List.of() : List.copyOf(stays);
    travels = travels == null ? List.of() : List.copyOf(travels);
    untouched = untouched == null ? List.of() : List.copyOf(untouched);
    if (namespaces.isEmpty()) {
      throw new IllegalArgumentException("namespaces must name at least one, was empty");
    }
    for (String ns : namespaces) {
      if (ns.isBlank() || STANDARD.contains(ns)) {
        throw new IllegalArgumentException(
            "namespaces must be a raw editor's own, was \""
                + ns
                + "\" (properties of the XMP standard belong to their frame)");
      }
    }
    if (exposure == null) {
      throw new IllegalArgumentException("exposure must be given");
    }
    checkUnit("exposure", exposure, Set.of(NumberProperty.Unit.STOPS));
    checkUnit("cct", cct, Set.of(NumberProperty.Unit.KELVIN, NumberProperty.Unit.MIRED));
    checkUnit("duv", duv, Set.of(NumberProperty.Unit.DUV));
    Set<PropertyName> numbers = new TreeSet<>();
    Set<NumberPlace> places = new TreeSet<>();
    for (NumberProperty p : new @Nullable NumberProperty[] {exposure, cct, duv}) {
      if (p != null) {
        checkNamespace(namespaces, p.name());
        NumberPlace place = p.place();
        boolean mixed = places.stream().anyMatch(o -> o.property().equals(p.name()) && o.whole());
        boolean anyThere = places.stream().anyMatch(o -> o.property().equals(p.name()));
        if (!places.add(place) || mixed || (place.whole() && anyThere)) {
          throw new IllegalArgumentException(
              "exposure, cct and duv must be different properties, two were " + place);
        }
        numbers.add(p.name());
      }
    }
    for (PropertyName p : stays) {
      checkNamespace(namespaces, p);
      if (numbers.contains(p) || travels.contains(p)) {
        throw new IllegalArgumentException("stays must not hold what is carried, held " + p);
      }
    }
    for (PropertyName p : travels) {
      checkNamespace(namespaces, p);
    }
  }

  /**
   * Reads an edit map.
   *
   * @param file JSON file
   * @throws samelight.engine.files.RefusedInputException if it can't be read or breaks a rule; the
   *     message names line and field
   */
  public static EditMap read(Path file) {
    return EditMapJson.read(file);
  }

  /** As JSON that a person can read, ending with a line feed. */
  public String toJson() {
    return EditMapJson.write(this);
  }

  /** A short id that changes with the content: twelve hexadecimal digits. */
  @JsonIgnore
  public String id() {
    return EditMapJson.id(this);
  }

  /** Whether it is for frames of this kind. */
  public boolean fits(FileKind kind) {
    return files == null || files == kind;
  }

  /** Whether the grade is read from inside the reference's own file. */
  boolean inFrame() {
    return edits == Place.FRAME;
  }

  /** Whether a namespace is one of the XMP standard, or ours. */
  static boolean standard(String namespace) {
    return STANDARD.contains(namespace);
  }

  /** Whether a property is, as a whole, one of the numbers that are compensated. */
  boolean compensates(PropertyName name) {
    return is(exposure, name) || is(cct, name) || is(duv, name);
  }

  private static boolean is(@Nullable NumberProperty number, PropertyName name) {
    return number != null
        && number.part() == null
        && number.property().equals(name.property())
        && number.namespace().equals(name.namespace());
  }

  /** The compensated numbers that are parts of a property. */
  List<NumberPlace> parts(PropertyName name) {
    boolean none =
        exposure.part() == null
            && (cct == null || cct.part() == null)
            && (duv == null || duv.part() == null);
    if (none) {
      return List.of(); // asked for every property of every frame
    }
    return numbers().stream()
        .filter(p -> p.part() != null && p.name().equals(name))
        .map(NumberProperty::place)
        .toList();
  }

  private List<NumberProperty> numbers() {
    return Stream.of(exposure, cct, duv).filter(Objects::nonNull).toList();
  }

  private static void checkUnit(
      String field, @Nullable NumberProperty p, Set<NumberProperty.Unit> allowed) {
    if (p != null && !allowed.contains(p.unit())) {
      throw new IllegalArgumentException(
          "unit of "
              + field
              + " must be "
              + String.join(
                  " or ",
                  allowed.stream()
                      .map(u -> "\"" + u.name().toLowerCase(java.util.Locale.ROOT) + "\"")
                      .sorted()
                      .toList())
              + ", was \""
              + p.unit().name().toLowerCase(java.util.Locale.ROOT)
              + "\"");
    }
  }

  private static void checkNamespace(List<String> namespaces, PropertyName p) {
    if (!namespaces.contains(p.namespace())) {
      throw new IllegalArgumentException("namespaces must hold that of " + p + ", did not");
    }
  }
}
