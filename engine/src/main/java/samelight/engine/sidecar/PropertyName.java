package samelight.engine.sidecar;

import com.fasterxml.jackson.annotation.JsonProperty;

/**
 * Name of a top-level XMP property.
 *
 * @param namespace namespace URI
 * @param property local name, without prefix
 */
public record PropertyName(
    @JsonProperty(required = true) String namespace, @JsonProperty(required = true) String property)
    implements Comparable<PropertyName> {
  /**
   * @throws IllegalArgumentException if a part is blank or the property has a prefix
   */
  public PropertyName {
    if (namespace == null || namespace.isBlank()) {
      throw new IllegalArgumentException("namespace must be a URI, was \"" + namespace + "\"");
    }
    if (property == null || property.isBlank() || property.contains(":")) {
      throw new IllegalArgumentException(
          "property must be a name without prefix, was \"" + property + "\"");
    }
  }

  /** The name that {@link #toString} wrote. */
  static PropertyName parse(String text) {
    int end = text.lastIndexOf('}');
    if (!text.startsWith("{") || end < 0) {
      throw new IllegalArgumentException("a name must be {namespace}property, was " + text);
    }
    return new PropertyName(text.substring(1, end), text.substring(end + 1));
  }

  @Override
  public int compareTo(PropertyName other) {
    int spaces = namespace.equals(other.namespace) ? 0 : namespace.compareTo(other.namespace);
    return spaces == 0 ? property.compareTo(other.property) : spaces;
  }

  /** The namespace in braces, then the property. */
  @Override
  public String toString() {
    return "{" + namespace + "}" + property;
  }
}
