package samelight.engine.sidecar;

/**
 * The text of a packet with its plain simple values left out: what is left decides how any reader
 * of XMP understands it. A value is left out where it is an attribute or the whole content of an
 * element that has no child, belongs to neither XML nor RDF themselves, begins and ends with
 * something other than white space, and is made of ordinary characters: no markup, no reference, no
 * control character, nothing outside the basic plane. So all that a parser could trip over, every
 * name, namespace, {@code rdf:about}, {@code xml:lang}, comment, instruction and the white space
 * between elements stay in the shape.
 */
final class XmpShape {
  /** Stands for a value; a sidecar with this character is refused before. */
  private static final char VALUE = '\0';

  private final String text;
  private final StringBuilder out;
  private int at;

  private XmpShape(XmlText xml) {
    this.text = xml.text;
    this.out = new StringBuilder(text.length());
  }

  /** The shape of a text. */
  static String of(XmlText xml) {
    XmpShape shape = new XmpShape(xml);
    shape.element(xml.root);
    return shape.out.append(xml.text, shape.at, xml.text.length()).toString();
  }

  private void element(XmlElement e) {
    for (XmlElement.Attribute a : e.attributes) {
      if (!a.uri().isEmpty() && !a.uri().equals(XmpValue.RDF) && !a.uri().equals(XmlText.XML)) {
        value(a.valueFrom(), a.valueTo());
      }
    }
    if (e.children.isEmpty()) {
      boolean item = e.local().equals("li") || e.local().equals("value");
      if (item || !e.uri.equals(XmpValue.RDF)) {
        value(e.contentFrom, e.contentTo);
      }
      return;
    }
    for (XmlElement child : e.children) {
      element(child);
    }
  }

  private void value(int from, int to) {
    if (from < to && text.charAt(from) != ' ' && text.charAt(to - 1) != ' ' && plain(from, to)) {
      out.append(text, at, from).append(VALUE);
      at = to;
    }
  }

  private boolean plain(int from, int to) {
    for (int i = from; i < to; i++) {
      char c = text.charAt(i);
      boolean ordinary =
          c < 0x7F
              ? c >= ' ' && c != '&' && c != '<' && c != '>' && c != '"' && c != '\''
              : c > 0xA0 && c < 0xD800 && !Character.isWhitespace(c) && !Character.isSpaceChar(c);
      if (!ordinary) {
        return false;
      }
    }
    return true;
  }
}
