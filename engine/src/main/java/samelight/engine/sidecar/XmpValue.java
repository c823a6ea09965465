package samelight.engine.sidecar;

import java.util.ArrayList;
import java.util.Collections;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * The value of an XMP property as a graph (ISO 16684-1, 6.3 and 7), with the places of simple
 * values in the text.
 *
 * @param kind form
 * @param text text of a simple value, empty otherwise
 * @param place where that text stands, or null where it has no place of its own
 * @param fields fields of a structure
 * @param items items of an array, in order
 * @param qualifiers qualifiers, {@code xml:lang} among them
 */
record XmpValue(
    Kind kind,
    String text,
    @Nullable Place place,
    List<Field> fields,
    List<XmpValue> items,
    List<Field> qualifiers) {
  static final String RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#";

  enum Kind {
    TEXT,
    URI,
    STRUCT,
    BAG,
    SEQ,
    ALT
  }

  /** A named part. */
  record Field(PropertyName name, XmpValue value) {}

  /**
   * Where a simple value stands in the text.
   *
   * @param from first place of its source text
   * @param to place behind it
   * @param attribute whether it is an attribute value
   */
  record Place(int from, int to, boolean attribute) {}

  boolean simple() {
    return kind == Kind.TEXT || kind == Kind.URI;
  }

  boolean array() {
    return kind == Kind.BAG || kind == Kind.SEQ || kind == Kind.ALT;
  }

  /** Whether it is a structure, or an array of anything but simple values. */
  boolean nested() {
    return kind == Kind.STRUCT || items.stream().anyMatch(i -> !i.simple());
  }

  /** Whether an array in it, at whatever depth, has items that are structures or arrays. */
  boolean holdsStructuresInArrays() {
    return items.stream().anyMatch(i -> !i.simple())
        || fields.stream().anyMatch(f -> f.value().holdsStructuresInArrays());
  }

  static XmpValue text(String text, @Nullable Place place) {
    return new XmpValue(Kind.TEXT, text, place, List.of(), List.of(), List.of());
  }

  static XmpValue of(XmlElement.Attribute a) {
    return text(a.value(), new Place(a.valueFrom(), a.valueTo(), true));
  }

  /** The value of a property element, of a field, or of an item ({@code rdf:li}). */
  static XmpValue of(XmlText xml, XmlElement e) throws XmpRefusedException {
    List<Field> qualifiers = new ArrayList<>();
    List<Field> attributes = new ArrayList<>();
    XmlElement.Attribute resource = null;
    boolean parseResource = false;
    for (XmlElement.Attribute a : e.attributes) {
      if (a.is(RDF, "parseType")) {
        if (!a.value().equals("Resource")) {
          throw new XmpRefusedException("rdf:parseType=\"Resource\" only", a.value());
        }
        parseResource = true;
      } else if (a.is(RDF, "resource")) {
        resource = a;
      } else if (a.is(XmlText.XML, "lang")) {
        qualifiers.add(new Field(a.name(), of(a)));
      } else if (!a.uri().isEmpty() && (!a.uri().equals(RDF) || a.local().equals("value"))) {
        attributes.add(new Field(a.name(), of(a)));
      }
    }
    if (parseResource) {
      return struct(fields(xml, e), qualifiers);
    }
    if (!e.children.isEmpty()) {
      return node(xml, e.children.get(0), qualifiers);
    }
    if (resource != null) {
      qualifiers.addAll(attributes);
      return new XmpValue(
          Kind.URI, resource.value(), of(resource).place(), List.of(), List.of(), qualifiers);
    }
    if (!attributes.isEmpty()) {
      return struct(attributes, qualifiers);
    }
    return new XmpValue(
        Kind.TEXT,
        xml.content(e),
        e.emptyTag ? null : new Place(e.contentFrom, e.contentTo, false),
        List.of(),
        List.of(),
        qualifiers);
  }

  private static XmpValue node(XmlText xml, XmlElement e, List<Field> qualifiers)
      throws XmpRefusedException {
    if (e.uri.equals(RDF)) {
      Kind kind =
          switch (e.local()) {
            case "Bag" -> Kind.BAG;
            case "Seq" -> Kind.SEQ;
            case "Alt" -> Kind.ALT;
            default -> Kind.STRUCT;
          };
      if (kind != Kind.STRUCT) {
        List<XmpValue> items = new ArrayList<>();
        for (XmlElement li : e.children) {
          items.add(of(xml, li));
        }
        return new XmpValue(kind, "", null, List.of(), items, qualifiers);
      }
    }
    List<Field> fields = new ArrayList<>();
    for (XmlElement.Attribute a : e.attributes) {
      if (a.is(XmlText.XML, "lang")) {
        qualifiers.add(new Field(a.name(), of(a)));
      } else if (!a.uri().isEmpty() && (!a.uri().equals(RDF) || a.local().equals("value"))) {
        fields.add(new Field(a.name(), of(a)));
      }
    }
    fields.addAll(fields(xml, e));
    if (!e.is(RDF, "Description")) {
      qualifiers.add(new Field(new PropertyName(RDF, "type"), text(e.uri + e.local(), null)));
    }
    return struct(fields, qualifiers);
  }

  private static List<Field> fields(XmlText xml, XmlElement e) throws XmpRefusedException {
    List<Field> fields = new ArrayList<>();
    for (XmlElement child : e.children) {
      fields.add(new Field(child.name(), of(xml, child)));
    }
    return fields;
  }

  /** A structure; one with {@code rdf:value} is a simple value with qualifiers. */
  private static XmpValue struct(List<Field> fields, List<Field> qualifiers) {
    for (Field f : fields) {
      if (f.name().namespace().equals(RDF) && f.name().property().equals("value")) {
        List<Field> all = new ArrayList<>(qualifiers);
        all.addAll(f.value().qualifiers());
        fields.stream().filter(o -> !o.name().equals(f.name())).forEach(all::add);
        XmpValue v = f.value();
        return new XmpValue(v.kind, v.text, v.place, v.fields, v.items, all);
      }
    }
    return new XmpValue(Kind.STRUCT, "", null, fields, List.of(), qualifiers);
  }

  /** The same value without the texts that stand at some places of it. */
  XmpValue without(List<NumberPlace> places) {
    if (places.isEmpty()) {
      return this;
    }
    Set<XmpValue> leaves = Collections.newSetFromMap(new IdentityHashMap<>());
    for (NumberPlace p : places) {
      XmpValue leaf = p.in(this);
      if (leaf != null && leaf.simple()) {
        leaves.add(leaf);
      }
    }
    return leaves.isEmpty() ? this : without(leaves);
  }

  private XmpValue without(Set<XmpValue> leaves) {
    return new XmpValue(
        kind,
        leaves.contains(this) ? "" : text,
        place,
        without(fields, leaves),
        items.stream().map(i -> i.without(leaves)).toList(),
        without(qualifiers, leaves));
  }

  private static List<Field> without(List<Field> fields, Set<XmpValue> leaves) {
    return fields.stream().map(f -> new Field(f.name(), f.value().without(leaves))).toList();
  }

  /** Whether it is the same graph, whatever the form, prefixes and order of fields. */
  boolean same(XmpValue other) {
    if (simple() && qualifiers.isEmpty() && other.qualifiers.isEmpty()) {
      return kind == other.kind && text.equals(other.text);
    }
    return canonical().equals(other.canonical());
  }

  /** The same text for the same graph, whatever the form, prefixes and order of fields. */
  String canonical() {
    StringBuilder out = new StringBuilder();
    canonical(out);
    return out.toString();
  }

  private void canonical(StringBuilder out) {
    out.append(kind.name().charAt(0)).append(kind.name().charAt(1));
    out.append(text.length()).append(':').append(text);
    if (!fields.isEmpty()) {
      canonical(out, '{', fields);
    }
    for (XmpValue item : items) {
      out.append('[');
      item.canonical(out);
      out.append(']');
    }
    if (!qualifiers.isEmpty()) {
      canonical(out, '?', qualifiers);
    }
  }

  private static void canonical(StringBuilder out, char mark, List<Field> fields) {
    TreeMap<PropertyName, String> sorted = new TreeMap<>();
    for (Field f : fields) {
      boolean lang = f.name().namespace().equals(XmlText.XML);
      String value = f.value().canonical();
      sorted.put(f.name(), lang ? value.toLowerCase(java.util.Locale.ROOT) : value);
    }
    sorted.forEach(
        (name, value) -> {
          out.append(mark).append(name).append('=').append(value).append('}');
        });
  }
}
