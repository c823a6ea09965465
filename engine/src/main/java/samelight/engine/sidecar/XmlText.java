package samelight.engine.sidecar;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * XML 1.0 text with the place of every element and attribute, so that a change can be spliced in
 * and everything else stays byte for byte. Knows no document type: one is refused, and with it
 * every entity other than the five of the standard. Nesting, elements and attributes are bounded
 * before any other parser sees the text.
 */
final class XmlText {
  /** The namespace that the prefix {@code xml} always stands for. */
  static final String XML = "http://www.w3.org/XML/1998/namespace";

  static final int MAX_DEPTH = 64;
  static final int MAX_NODES = 60_000;
  static final int MAX_NAMESPACES = 200;

  final String text;
  final XmlElement root;

  private int at;
  private int nodes;
  private final Set<String> namespaces = new HashSet<>();

  /**
   * @throws XmpRefusedException if it is not well-formed or beyond a bound
   */
  XmlText(String text) throws XmpRefusedException {
    this.text = text;
    this.root = parse();
  }

  private XmlElement parse() throws XmpRefusedException {
    XmlElement top = null;
    XmlElement open = null;
    while (at < text.length()) {
      int tag = text.indexOf('<', at);
      if (open == null && !text.substring(at, tag < 0 ? text.length() : tag).isBlank()) {
        throw refused("text only inside the root element", "text at " + line(at));
      }
      if (tag < 0) {
        break;
      }
      at = tag;
      if (text.startsWith("<!--", at)) {
        skip("<!--", "-->");
      } else if (text.startsWith("<?", at)) {
        skip("<?", "?>");
      } else if (text.startsWith("<![CDATA[", at)) {
        skip("<![CDATA[", "]]>");
      } else if (text.startsWith("<!", at)) {
        throw refused("no document type declaration", "one at " + line(at));
      } else if (text.startsWith("</", at)) {
        open = endTag(open);
      } else {
        if (open == null && top != null) {
          throw refused("one root element", "a second one at " + line(at));
        }
        XmlElement e = startTag(open);
        if (open == null) {
          top = e;
        } else {
          open.children.add(e);
        }
        if (!e.emptyTag) {
          open = e;
        }
      }
    }
    if (top == null || open != null) {
      throw refused(
          "well-formed XML",
          top == null ? "no element" : "the end of the file inside <" + open(open) + ">");
    }
    return top;
  }

  private static String open(@Nullable XmlElement e) {
    return e == null ? "" : e.qualifiedName;
  }

  private void skip(String opening, String closing) throws XmpRefusedException {
    int end = text.indexOf(closing, at + opening.length());
    if (end < 0) {
      throw refused("well-formed XML", opening + " without " + closing + " at " + line(at));
    }
    at = end + closing.length();
  }

  private @Nullable XmlElement endTag(@Nullable XmlElement open) throws XmpRefusedException {
    int end = text.indexOf('>', at);
    String name = end < 0 ? "" : text.substring(at + 2, end).stripTrailing();
    if (open == null || !name.equals(open.qualifiedName)) {
      throw refused("matching tags", "</" + name + "> at " + line(at));
    }
    open.contentTo = at;
    at = end + 1;
    open.to = at;
    return open.parent;
  }

  private XmlElement startTag(@Nullable XmlElement parent) throws XmpRefusedException {
    int from = at;
    at++;
    XmlElement e = new XmlElement(parent, name(), from);
    if (e.depth > MAX_DEPTH) {
      throw refused("at most " + MAX_DEPTH + " nested elements", "more at " + line(from));
    }
    count();
    e.attributesTo = at;
    List<String[]> raw = new ArrayList<>();
    List<int[]> places = new ArrayList<>();
    while (true) {
      int space = at;
      skipSpace();
      if (at >= text.length()) {
        throw refused("well-formed XML", "the end of the file inside a tag");
      }
      char c = text.charAt(at);
      if (c == '>') {
        at++;
        break;
      }
      if (c == '/' && at + 1 < text.length() && text.charAt(at + 1) == '>') {
        at += 2;
        e.emptyTag = true;
        break;
      }
      if (space == at) {
        throw refused("white space before an attribute", "none at " + line(at));
      }
      attribute(e, space, raw, places);
    }
    e.contentFrom = at;
    e.contentTo = at;
    e.to = at;
    bind(e, raw, places);
    return e;
  }

  private void attribute(XmlElement e, int space, List<String[]> raw, List<int[]> places)
      throws XmpRefusedException {
    String name = name();
    skipSpace();
    if (at >= text.length() || text.charAt(at) != '=') {
      throw refused("a value for each attribute", name + " at " + line(at));
    }
    at++;
    skipSpace();
    char quote = at < text.length() ? text.charAt(at) : ' ';
    int end = quote == '"' || quote == '\'' ? text.indexOf(quote, at + 1) : -1;
    if (end < 0) {
      throw refused("quoted attribute values", name + " at " + line(at));
    }
    String source = text.substring(at + 1, end);
    if (source.indexOf('<') >= 0) {
      throw refused("no < in attribute values", name + " at " + line(at));
    }
    raw.add(new String[] {name, decode(normalSpace(source), at)});
    places.add(new int[] {space, at + 1, end});
    at = end + 1;
    e.attributesTo = at;
    count();
  }

  private void bind(XmlElement e, List<String[]> raw, List<int[]> places)
      throws XmpRefusedException {
    for (String[] a : raw) {
      if (a[0].equals("xmlns") || a[0].startsWith("xmlns:")) {
        String prefix = a[0].equals("xmlns") ? "" : a[0].substring(6);
        if (e.declared.put(prefix, a[1]) != null) {
          throw refused("attributes named once", a[0] + " twice at " + line(e.from));
        }
        namespaces.add(prefix + "=" + a[1]);
      }
    }
    if (namespaces.size() > MAX_NAMESPACES) {
      throw refused("at most " + MAX_NAMESPACES + " namespaces", "more at " + line(e.from));
    }
    e.uri = uri(e, e.prefix(), e.from);
    Set<XmlElement.AttributeName> seen = new HashSet<>();
    for (int i = 0; i < raw.size(); i++) {
      String name = raw.get(i)[0];
      if (name.equals("xmlns") || name.startsWith("xmlns:")) {
        continue;
      }
      int colon = name.indexOf(':');
      String prefix = colon < 0 ? "" : name.substring(0, colon);
      String local = name.substring(colon + 1);
      String uri = prefix.isEmpty() ? "" : uri(e, prefix, e.from);
      if (!seen.add(new XmlElement.AttributeName(uri, local))) {
        throw refused("attributes named once", name + " twice at " + line(e.from));
      }
      int[] p = places.get(i);
      e.attributes.add(
          new XmlElement.Attribute(prefix, local, uri, raw.get(i)[1], p[0], p[1], p[2]));
    }
  }

  private String uri(XmlElement e, String prefix, int place) throws XmpRefusedException {
    String uri = e.namespaceOf(prefix);
    if (uri == null) {
      if (prefix.isEmpty()) {
        return "";
      }
      throw refused("declared prefixes", prefix + ": at " + line(place));
    }
    return uri;
  }

  private String name() throws XmpRefusedException {
    int from = at;
    while (at < text.length() && !endsName(text.charAt(at))) {
      at++;
    }
    String name = text.substring(from, at);
    int colon = name.indexOf(':');
    if (name.isEmpty()
        || colon == 0
        || colon == name.length() - 1
        || colon != name.lastIndexOf(':')) {
      throw refused("qualified names", "\"" + name + "\" at " + line(from));
    }
    return name;
  }

  private static boolean endsName(char c) {
    return c <= '>' && (c <= ' ' ? space(c) : "=/><\"'".indexOf(c) >= 0);
  }

  /** White space of XML 1.0, production 3. */
  static boolean space(char c) {
    return c == ' ' || c == '\n' || c == '\t' || c == '\r';
  }

  private void skipSpace() {
    while (at < text.length() && space(text.charAt(at))) {
      at++;
    }
  }

  private void count() throws XmpRefusedException {
    if (++nodes > MAX_NODES) {
      throw refused("at most " + MAX_NODES + " elements and attributes", "more");
    }
  }

  /**
   * The text of an element that has no child elements, with references resolved, comments left out
   * and line ends as line feeds.
   */
  String content(XmlElement e) throws XmpRefusedException {
    StringBuilder out = new StringBuilder();
    int i = e.contentFrom;
    while (i < e.contentTo) {
      int tag = text.indexOf('<', i);
      int to = tag < 0 || tag > e.contentTo ? e.contentTo : tag;
      out.append(decode(text.substring(i, to).replace("\r\n", "\n").replace('\r', '\n'), i));
      if (to == e.contentTo) {
        break;
      }
      if (!text.startsWith("<!--", to)) {
        throw refused("plain text in <" + e.qualifiedName + ">", "markup at " + line(to));
      }
      i = text.indexOf("-->", to) + 3;
    }
    return out.toString();
  }

  /** Line and column of a place, in words. */
  String line(int place) {
    int line = 1;
    int start = 0;
    for (int i = text.indexOf('\n'); i >= 0 && i < place; i = text.indexOf('\n', i + 1)) {
      line++;
      start = i + 1;
    }
    return "line " + line + ", column " + (place - start + 1);
  }

  private static String normalSpace(String source) {
    if (source.indexOf('\n') < 0 && source.indexOf('\t') < 0 && source.indexOf('\r') < 0) {
      return source;
    }
    return source.replace("\r\n", " ").replace('\r', ' ').replace('\n', ' ').replace('\t', ' ');
  }

  private String decode(String source, int place) throws XmpRefusedException {
    int amp = source.indexOf('&');
    if (amp < 0) {
      return source;
    }
    StringBuilder out = new StringBuilder();
    int from = 0;
    while (amp >= 0) {
      int end = source.indexOf(';', amp);
      String name = end < 0 ? "" : source.substring(amp + 1, end);
      out.append(source, from, amp).append(reference(name, place));
      from = end + 1;
      amp = source.indexOf('&', from);
    }
    return out.append(source, from, source.length()).toString();
  }

  private String reference(String name, int place) throws XmpRefusedException {
    String known =
        switch (name) {
          case "amp" -> "&";
          case "lt" -> "<";
          case "gt" -> ">";
          case "quot" -> "\"";
          case "apos" -> "'";
          default -> "";
        };
    if (!known.isEmpty()) {
      return known;
    }
    try {
      if (name.startsWith("#x")) {
        return Character.toString(Integer.parseInt(name.substring(2), 16));
      }
      if (name.startsWith("#")) {
        return Character.toString(Integer.parseInt(name.substring(1), 10));
      }
    } catch (IllegalArgumentException e) {
      throw refused("valid character references", "&" + name + "; at " + line(place));
    }
    throw refused("no entities but those of XML", "&" + name + "; at " + line(place));
  }

  /** Text as it must be written in an attribute value, in either kind of quotes. */
  static String escapeAttribute(String value) {
    if (plain(value)) {
      return value;
    }
    StringBuilder out = new StringBuilder();
    for (int i = 0; i < value.length(); i++) {
      char c = value.charAt(i);
      switch (c) {
        case '&' -> out.append("&amp;");
        case '<' -> out.append("&lt;");
        case '>' -> out.append("&gt;");
        case '"' -> out.append("&quot;");
        case '\'' -> out.append("&#39;");
        case '\n', '\r', '\t' -> out.append("&#").append((int) c).append(';');
        default -> out.append(c);
      }
    }
    return out.toString();
  }

  /** Text as it must be written as the content of an element. */
  static String escapeText(String value) {
    if (plain(value)) {
      return value;
    }
    return value
        .replace("&", "&amp;")
        .replace("<", "&lt;")
        .replace(">", "&gt;")
        .replace("\r", "&#13;");
  }

  private static boolean plain(String value) {
    for (int i = 0; i < value.length(); i++) {
      char c = value.charAt(i);
      if (c < ' ' || c == '&' || c == '<' || c == '>' || c == '"' || c == '\'') {
        return false;
      }
    }
    return true;
  }

  private static XmpRefusedException refused(String rule, String actual) {
    return new XmpRefusedException(rule, actual);
  }
}
