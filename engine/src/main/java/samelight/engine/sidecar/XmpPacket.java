package samelight.engine.sidecar;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** A sidecar's content: its text with places, and its top-level properties. */
final class XmpPacket {
  /** Largest sidecar that is read. */
  static final int MAX_BYTES = 16 << 20;

  private static final String EMPTY =
      """
      <?xml version="1.0" encoding="UTF-8"?>
      <?xpacket begin="\uFEFF" id="W5M0MpCehiHzreSzNTczkc9d"?>
      <x:xmpmeta xmlns:x="adobe:ns:meta/">
       <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
        <rdf:Description rdf:about=""/>
       </rdf:RDF>
      </x:xmpmeta>
      <?xpacket end="w"?>
      """;

  /**
   * A top-level property.
   *
   * @param name its name
   * @param description the rdf:Description that holds it
   * @param attribute where it is written as an attribute, else null
   * @param element where it is written as an element, else null
   * @param value its value
   */
  record Property(
      PropertyName name,
      XmlElement description,
      XmlElement.@Nullable Attribute attribute,
      @Nullable XmlElement element,
      XmpValue value) {}

  final XmpEncoding encoding;
  final XmlText xml;
  final XmlElement rdf;
  final List<XmlElement> descriptions;
  final Map<PropertyName, Property> properties;

  /** Made when first asked for; making it twice would do no harm. */
  private @Nullable String shape;

  private XmpPacket(XmpEncoding encoding, XmlText xml) throws XmpRefusedException {
    this.encoding = encoding;
    this.xml = xml;
    this.rdf = findRdf(xml.root);
    this.descriptions = new ArrayList<>();
    this.properties = new LinkedHashMap<>();
    for (XmlElement d : rdf.children) {
      if (!d.is(XmpValue.RDF, "Description")) {
        throw new XmpRefusedException(
            "only rdf:Description in rdf:RDF", "<" + d.qualifiedName + "> at " + xml.line(d.from));
      }
      descriptions.add(d);
      for (XmlElement.Attribute a : d.attributes) {
        if (!a.uri().isEmpty() && !a.uri().equals(XmpValue.RDF) && !a.uri().equals(XmlText.XML)) {
          add(new Property(a.name(), d, a, null, XmpValue.of(a)));
        }
      }
      for (XmlElement e : d.children) {
        if (e.uri.isEmpty()) {
          throw new XmpRefusedException(
              "a namespace for each property", "<" + e.qualifiedName + "> at " + xml.line(e.from));
        }
        add(new Property(e.name(), d, null, e, XmpValue.of(xml, e)));
      }
    }
  }

  private void add(Property p) throws XmpRefusedException {
    if (properties.putIfAbsent(p.name(), p) != null) {
      throw new XmpRefusedException("each property once", p.name() + " twice");
    }
  }

  /**
   * Reads a sidecar's content.
   *
   * @throws XmpRefusedException if it can't be understood in every part
   */
  static XmpPacket parse(byte[] bytes) throws XmpRefusedException {
    if (bytes.length > MAX_BYTES) {
      throw new XmpRefusedException("at most " + MAX_BYTES + " bytes", bytes.length + " bytes");
    }
    XmpEncoding encoding = XmpEncoding.of(bytes);
    return new XmpPacket(encoding, new XmlText(encoding.decode(bytes)));
  }

  /** The content of a sidecar that says nothing yet. */
  static byte[] empty() {
    return EMPTY.getBytes(StandardCharsets.UTF_8);
  }

  private static XmlElement findRdf(XmlElement root) throws XmpRefusedException {
    XmlElement found = find(root);
    if (found == null) {
      throw new XmpRefusedException("an rdf:RDF element", "<" + root.qualifiedName + "> without");
    }
    return found;
  }

  private static @Nullable XmlElement find(XmlElement e) {
    if (e.is(XmpValue.RDF, "RDF")) {
      return e;
    }
    for (XmlElement child : e.children) {
      XmlElement found = child.depth > 4 ? null : find(child);
      if (found != null) {
        return found;
      }
    }
    return null;
  }

  /** The text without its plain values. */
  String shape() {
    String made = shape;
    if (made == null) {
      made = XmpShape.of(xml);
      shape = made;
    }
    return made;
  }

  /** The value of a top-level property, or null where it is not there. */
  @Nullable XmpValue value(PropertyName name) {
    Property p = properties.get(name);
    return p == null ? null : p.value();
  }

  /** The text of a simple top-level property, or null where it is not there or not simple. */
  @Nullable String text(PropertyName name) {
    XmpValue v = value(name);
    return v == null || !v.simple() ? null : v.text();
  }
}
