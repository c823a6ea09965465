package samelight.engine.sidecar;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Changes to a packet, spliced into its text: what isn't changed stays byte for byte, and what is
 * changed keeps the form that it had.
 */
final class XmpEditor {
  private record Splice(int from, int to, String text) {}

  private final XmpPacket packet;
  private final String text;
  private final String newline;
  private final List<Splice> splices = new ArrayList<>();
  private final Map<XmlElement, StringBuilder> newAttributes = new HashMap<>();
  private final Map<XmlElement, StringBuilder> newElements = new HashMap<>();
  private final Map<XmlElement, Map<String, String>> newPrefixes = new HashMap<>();

  /** Where properties of a namespace go, once asked. */
  private final Map<String, XmlElement> homes = new HashMap<>();

  /** White space before an attribute, once asked. */
  private final Map<XmlElement, String> attributeSpaces = new HashMap<>();

  XmpEditor(XmpPacket packet) throws XmpRefusedException {
    this.packet = packet;
    this.text = packet.xml.text;
    this.newline = text.contains("\r\n") ? "\r\n" : "\n";
    if (packet.descriptions.isEmpty()) {
      throw new XmpRefusedException("an rdf:Description in rdf:RDF", "none");
    }
  }

  boolean changed() {
    return !splices.isEmpty() || !newAttributes.isEmpty() || !newElements.isEmpty();
  }

  /** Replaces the text of a simple value that stands somewhere in the packet. */
  void replaceText(XmpValue.Place place, String value) {
    splices.add(
        new Splice(
            place.from(),
            place.to(),
            place.attribute() ? XmlText.escapeAttribute(value) : XmlText.escapeText(value)));
  }

  /** Sets a simple top-level property; keeps its form and qualifiers where it is there. */
  void setText(PropertyName name, String prefix, String value) throws XmpRefusedException {
    XmpPacket.Property p = packet.properties.get(name);
    if (p != null) {
      XmpValue v = p.value();
      if (v.kind() == XmpValue.Kind.TEXT && v.place() != null) {
        replaceText(v.place(), value);
        return;
      }
      remove(name);
    }
    XmlElement d = home(name);
    addAttribute(d, prefix(d, name.namespace(), prefix), name.property(), value);
  }

  /**
   * Sets a top-level property to an element that is given as source text.
   *
   * @param source the element
   * @param needed namespaces that the source uses and doesn't declare, by prefix
   */
  void setElement(PropertyName name, String source, Map<String, String> needed) {
    XmpPacket.Property p = packet.properties.get(name);
    if (p != null && p.element() != null) {
      XmlElement e = p.element();
      splices.add(new Splice(e.from, e.to, declare(p.description(), source, needed)));
      return;
    }
    if (p != null) {
      remove(name);
    }
    XmlElement d = home(name);
    String declared = declare(d, source, needed);
    newElements
        .computeIfAbsent(d, k -> new StringBuilder())
        .append(newline)
        .append(indent(d))
        .append(declared);
  }

  /** Sets a top-level property to what another packet says, in that packet's form. */
  void copy(XmpPacket from, XmpPacket.Property p) throws XmpRefusedException {
    if (p.attribute() != null) {
      XmpPacket.Property own = packet.properties.get(p.name());
      if (own != null && own.attribute() == null) {
        remove(p.name());
        XmlElement d = home(p.name());
        addAttribute(
            d,
            prefix(d, p.name().namespace(), p.attribute().prefix()),
            p.name().property(),
            p.attribute().value());
      } else {
        setText(p.name(), p.attribute().prefix(), p.attribute().value());
      }
      return;
    }
    XmlElement e = java.util.Objects.requireNonNull(p.element());
    setElement(p.name(), from.xml.text.substring(e.from, e.to), XmpNamespaces.needed(e));
  }

  /** Removes a top-level property with the white space before it. */
  void remove(PropertyName name) {
    XmpPacket.Property p = packet.properties.get(name);
    if (p == null) {
      return;
    }
    if (p.attribute() != null) {
      splices.add(new Splice(p.attribute().from(), p.attribute().to(), ""));
    } else {
      XmlElement e = java.util.Objects.requireNonNull(p.element());
      int from = e.from;
      while (from > 0 && " \t\r\n".indexOf(text.charAt(from - 1)) >= 0) {
        from--;
      }
      splices.add(new Splice(from, e.to, ""));
    }
  }

  /** The changed text. */
  String apply() {
    newAttributes.forEach(
        (d, added) -> splices.add(new Splice(d.attributesTo, d.attributesTo, added.toString())));
    newElements.forEach(
        (d, added) -> {
          String end = newline + indentOf(d);
          if (d.emptyTag) {
            splices.add(
                new Splice(
                    d.contentFrom - 2,
                    d.contentFrom,
                    ">" + added + end + "</" + d.qualifiedName + ">"));
          } else {
            int at = d.contentTo;
            while (at > d.contentFrom && " \t\r\n".indexOf(text.charAt(at - 1)) >= 0) {
              at--;
            }
            splices.add(new Splice(at, at, at == d.contentTo ? added + end : added.toString()));
          }
        });
    List<Splice> sorted = new ArrayList<>(splices);
    sorted.sort(Comparator.comparingInt(Splice::from).thenComparingInt(Splice::to));
    StringBuilder out = new StringBuilder(text.length() + 1024);
    int at = 0;
    for (Splice s : sorted) {
      if (s.from() < at) {
        throw new IllegalStateException("changes overlap at " + packet.xml.line(s.from()));
      }
      out.append(text, at, s.from()).append(s.text());
      at = s.to();
    }
    return out.append(text, at, text.length()).toString();
  }

  /** The Description that has other properties of the namespace, else the first. */
  private XmlElement home(PropertyName name) {
    return homes.computeIfAbsent(name.namespace(), this::findHome);
  }

  private XmlElement findHome(String namespace) {
    for (XmpPacket.Property p : packet.properties.values()) {
      if (p.name().namespace().equals(namespace)) {
        return p.description();
      }
    }
    return packet.descriptions.get(0);
  }

  private void addAttribute(XmlElement d, String prefix, String local, String value) {
    newAttributes
        .computeIfAbsent(d, k -> new StringBuilder())
        .append(attributeSpace(d))
        .append(prefix)
        .append(':')
        .append(local)
        .append("=\"")
        .append(XmlText.escapeAttribute(value))
        .append('"');
  }

  private String attributeSpace(XmlElement d) {
    return attributeSpaces.computeIfAbsent(d, this::findAttributeSpace);
  }

  private String findAttributeSpace(XmlElement d) {
    if (!d.attributes.isEmpty()) {
      XmlElement.Attribute last = d.attributes.get(d.attributes.size() - 1);
      int from = last.from();
      int to = from;
      while (" \t\r\n".indexOf(text.charAt(to)) >= 0) {
        to++;
      }
      String space = text.substring(from, to);
      if (space.contains("\n")) {
        return space;
      }
    }
    return newline + indentOf(d) + "  ";
  }

  /** A prefix for a namespace at a Description, declared there where it wasn't. */
  private String prefix(XmlElement d, String namespace, String preferred) {
    String inScope = d.prefixOf(namespace);
    if (inScope != null) {
      return inScope;
    }
    Map<String, String> added = newPrefixes.computeIfAbsent(d, k -> new TreeMap<>());
    for (Map.Entry<String, String> e : added.entrySet()) {
      if (e.getValue().equals(namespace)) {
        return e.getKey();
      }
    }
    String base = preferred.isEmpty() ? "ns" : preferred;
    String prefix = base;
    for (int i = 2; d.namespaceOf(prefix) != null || added.containsKey(prefix); i++) {
      prefix = base + i;
    }
    declareAt(d, added, prefix, namespace);
    return prefix;
  }

  private void declareAt(XmlElement d, Map<String, String> added, String prefix, String namespace) {
    added.put(prefix, namespace);
    newAttributes
        .computeIfAbsent(d, k -> new StringBuilder())
        .append(attributeSpace(d))
        .append("xmlns:")
        .append(prefix)
        .append("=\"")
        .append(XmlText.escapeAttribute(namespace))
        .append('"');
  }

  /** Declares what a source text needs: at the Description where the prefix is free, else on it. */
  private String declare(XmlElement d, String source, Map<String, String> needed) {
    Map<String, String> added = newPrefixes.computeIfAbsent(d, k -> new TreeMap<>());
    StringBuilder local = new StringBuilder();
    for (Map.Entry<String, String> n : needed.entrySet()) {
      String prefix = n.getKey();
      String bound = added.getOrDefault(prefix, d.namespaceOf(prefix));
      if (n.getValue().equals(bound) || (bound == null && n.getValue().isEmpty())) {
        continue;
      }
      if (bound == null && !prefix.isEmpty()) {
        declareAt(d, added, prefix, n.getValue());
      } else {
        local
            .append(' ')
            .append(prefix.isEmpty() ? "xmlns" : "xmlns:" + prefix)
            .append("=\"")
            .append(XmlText.escapeAttribute(n.getValue()))
            .append('"');
      }
    }
    int name = 1;
    while (" \t\r\n/>".indexOf(source.charAt(name)) < 0) {
      name++;
    }
    return source.substring(0, name) + local + source.substring(name);
  }

  private String indent(XmlElement d) {
    if (!d.children.isEmpty()) {
      return spaceBefore(d.children.get(0).from);
    }
    return indentOf(d) + " ";
  }

  private String indentOf(XmlElement e) {
    return spaceBefore(e.from);
  }

  private String spaceBefore(int place) {
    int from = place;
    while (from > 0 && " \t".indexOf(text.charAt(from - 1)) >= 0) {
      from--;
    }
    return from > 0 && "\r\n".indexOf(text.charAt(from - 1)) >= 0
        ? text.substring(from, place)
        : "";
  }

  /** The namespace of a prefix that the packet declares and a value may use, or null. */
  static @Nullable String preferredPrefix(XmpPacket packet, String namespace) {
    for (XmlElement d : packet.descriptions) {
      String prefix = d.prefixOf(namespace);
      if (prefix != null) {
        return prefix;
      }
    }
    return null;
  }
}
