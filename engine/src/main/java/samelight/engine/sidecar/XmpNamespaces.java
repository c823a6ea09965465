package samelight.engine.sidecar;

import java.util.Map;
import java.util.TreeMap;

/** Namespaces that a piece of XML takes from around it. */
final class XmpNamespaces {
  private XmpNamespaces() {}

  /** Namespaces that an element uses and doesn't declare itself, by prefix. */
  static Map<String, String> needed(XmlElement e) {
    Map<String, String> needed = new TreeMap<>();
    collect(e, e, needed);
    return needed;
  }

  private static void collect(XmlElement top, XmlElement e, Map<String, String> needed) {
    use(top, e, e.prefix(), needed);
    for (XmlElement.Attribute a : e.attributes) {
      if (!a.prefix().isEmpty()) {
        use(top, e, a.prefix(), needed);
      }
    }
    for (XmlElement child : e.children) {
      collect(top, child, needed);
    }
  }

  private static void use(XmlElement top, XmlElement e, String prefix, Map<String, String> needed) {
    if (prefix.equals("xml")) {
      return;
    }
    for (XmlElement s = e; s != null; s = s.parent) {
      if (s.declared.containsKey(prefix)) {
        return;
      }
      if (s == top) {
        break;
      }
    }
    String uri = e.namespaceOf(prefix);
    needed.put(prefix, uri == null ? "" : uri);
  }
}
