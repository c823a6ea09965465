package samelight.samples;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import javax.xml.parsers.DocumentBuilder;
import javax.xml.parsers.DocumentBuilderFactory;
import javax.xml.parsers.ParserConfigurationException;
import org.jspecify.annotations.Nullable;
import org.w3c.dom.Element;
import org.w3c.dom.Node;
import org.w3c.dom.NodeList;
import org.xml.sax.SAXException;
import org.xml.sax.helpers.DefaultHandler;

/**
 * The properties in an XMP sidecar, read with the JDK's XML parser alone, so that a mistake of an
 * XMP library on the writing side shows here. RDF/XML as far as ISO 16684-1 lets a sidecar go:
 * properties as attributes or elements, arrays as lists; structs are left out.
 */
final class Sidecar {

  static final String RECIPE = "http://ns.samelight.example/recipe/1.0/";
  private static final String RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#";

  private final Map<String, List<String>> properties = new HashMap<>();

  private Sidecar() {}

  /** The sidecar of a frame, or null if it has none: NAME.EXT.xmp before NAME.xmp. */
  static @Nullable Path of(Path frame) {
    String name = String.valueOf(frame.getFileName());
    int dot = name.lastIndexOf('.');
    String stem = dot < 0 ? name : name.substring(0, dot);
    for (String candidate : List.of(name + ".xmp", stem + ".xmp", name + ".XMP", stem + ".XMP")) {
      Path p = frame.resolveSibling(candidate);
      if (Files.isRegularFile(p)) {
        return p;
      }
    }
    return null;
  }

  /**
   * Reads a sidecar.
   *
   * @throws IOException if it cannot be read or is not well-formed; names the file
   */
  static Sidecar read(Path file) throws IOException {
    Sidecar sidecar = new Sidecar();
    try {
      DocumentBuilderFactory f = DocumentBuilderFactory.newInstance();
      f.setNamespaceAware(true);
      f.setFeature("http://apache.org/xml/features/disallow-doctype-decl", true);
      DocumentBuilder builder = f.newDocumentBuilder();
      builder.setErrorHandler(new DefaultHandler()); // throws instead of printing
      NodeList descriptions =
          builder
              .parse(file.toFile())
              .getDocumentElement()
              .getElementsByTagNameNS(RDF, "Description");
      for (int i = 0; i < descriptions.getLength(); i++) {
        if (descriptions.item(i) instanceof Element e
            && e.getParentNode() instanceof Element parent
            && "RDF".equals(parent.getLocalName())) {
          sidecar.take(e);
        }
      }
    } catch (ParserConfigurationException | SAXException e) {
      throw new IOException("sidecar " + file + " is not well-formed XML: " + e.getMessage(), e);
    }
    return sidecar;
  }

  private void take(Element description) {
    for (int i = 0; i < description.getAttributes().getLength(); i++) {
      Node a = description.getAttributes().item(i);
      put(a, List.of(a.getNodeValue()));
    }
    for (Node n = description.getFirstChild(); n != null; n = n.getNextSibling()) {
      if (n instanceof Element e) {
        NodeList items = e.getElementsByTagNameNS(RDF, "li");
        List<String> values = new ArrayList<>();
        for (int i = 0; i < items.getLength(); i++) {
          values.add(items.item(i).getTextContent().trim());
        }
        put(e, values.isEmpty() ? List.of(e.getTextContent().trim()) : values);
      }
    }
  }

  private void put(Node n, List<String> values) {
    String namespace = n.getNamespaceURI();
    if (namespace != null) {
      properties.putIfAbsent(namespace + n.getLocalName(), values);
    }
  }

  /** A property's text, or null. */
  @Nullable String text(String namespace, String name) {
    List<String> v = properties.get(namespace + name);
    return v == null || v.isEmpty() ? null : v.get(0);
  }

  /** A property's items; empty if there is none. */
  List<String> items(String namespace, String name) {
    List<String> v = properties.get(namespace + name);
    return v == null ? List.of() : v;
  }

  /** A property as a number, or NaN if it is missing or no number. */
  double number(String namespace, String name) {
    String v = text(namespace, name);
    if (v == null) {
      return Double.NaN;
    }
    try {
      return Double.parseDouble(v);
    } catch (NumberFormatException e) {
      return Double.NaN;
    }
  }
}
