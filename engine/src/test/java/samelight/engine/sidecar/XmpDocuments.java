package samelight.engine.sidecar;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;

/**
 * Writes random sidecars in every form that ISO 16684-1 allows: properties as attributes or
 * elements, structures in three forms, arrays, alternatives by language, qualifiers, several
 * descriptions, other prefixes, comments, line ends, references.
 */
final class XmpDocuments {
  static final List<String> STRANGERS =
      List.of(
          "http://one.example/ns#",
          "http://two.example/ns/",
          "urn:example:three",
          "http://purl.org/dc/elements/1.1/",
          "http://ns.adobe.com/xap/1.0/mm/");

  private final Random random;
  private final String newline;
  private final boolean comments;

  XmpDocuments(Random random) {
    this.random = random;
    this.newline = random.nextInt(4) == 0 ? "\r\n" : "\n";
    this.comments = random.nextBoolean();
  }

  /** A sidecar of these namespaces; some properties of each. */
  String document(List<String> namespaces, Map<PropertyName, String> simple) {
    StringBuilder out = new StringBuilder();
    if (random.nextBoolean()) {
      out.append("<?xml version=\"1.0\"?>").append(newline);
    }
    boolean packet = random.nextBoolean();
    if (packet) {
      out.append("<?xpacket begin=\"\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>").append(newline);
    }
    boolean meta = random.nextInt(4) > 0;
    if (meta) {
      out.append("<x:xmpmeta xmlns:x='adobe:ns:meta/' x:xmptk=\"a toolkit\">").append(newline);
    }
    String rdf = random.nextInt(5) == 0 ? "r" : "rdf";
    out.append("<").append(rdf).append(":RDF xmlns:").append(rdf).append("=\"");
    out.append(XmpValue.RDF).append("\">").append(newline);
    comment(out);
    String about = random.nextInt(3) == 0 ? "uuid:5a1e" : "";
    List<PropertyName> names = names(namespaces);
    names.removeAll(simple.keySet());
    int descriptions = 1 + random.nextInt(3);
    List<PropertyName> own = new ArrayList<>(simple.keySet());
    for (int d = 0; d < descriptions; d++) {
      int to = d == descriptions - 1 ? names.size() : names.size() / descriptions;
      List<PropertyName> some = new ArrayList<>(names.subList(0, to));
      names = new ArrayList<>(names.subList(to, names.size()));
      description(out, rdf, about, some, d == 0 ? own : List.of(), simple);
    }
    out.append("</").append(rdf).append(":RDF>").append(newline);
    if (meta) {
      out.append("</x:xmpmeta>").append(newline);
    }
    if (packet) {
      out.append(" ".repeat(random.nextInt(60))).append(newline).append("<?xpacket end='w'?>");
    }
    return out.toString();
  }

  private List<PropertyName> names(List<String> namespaces) {
    List<PropertyName> names = new ArrayList<>();
    for (String ns : namespaces) {
      int n = random.nextInt(4);
      for (int i = 0; i < n; i++) {
        names.add(new PropertyName(ns, "P" + i));
      }
    }
    java.util.Collections.shuffle(names, random);
    return names;
  }

  private void description(
      StringBuilder out,
      String rdf,
      String about,
      List<PropertyName> names,
      List<PropertyName> own,
      Map<PropertyName, String> simple) {
    Map<String, String> prefixes = new LinkedHashMap<>();
    List<PropertyName> all = new ArrayList<>(own);
    all.addAll(names);
    for (PropertyName n : all) {
      prefixes.computeIfAbsent(n.namespace(), k -> prefix(prefixes));
    }
    String field = "f";
    out.append(" <").append(rdf).append(":Description ");
    out.append(rdf).append(":about='").append(about).append('\'');
    prefixes.forEach(
        (ns, p) ->
            out.append(space()).append("xmlns:").append(p).append("=\"").append(ns).append('"'));
    out.append(space()).append("xmlns:f=\"http://field.example/\"");
    StringBuilder elements = new StringBuilder();
    for (PropertyName n : all) {
      String name = prefixes.get(n.namespace()) + ":" + n.property();
      String fixed = simple.get(n);
      if (fixed != null) {
        simple(out, elements, name, fixed);
      } else if (random.nextInt(3) == 0) {
        simple(out, elements, name, text());
      } else {
        comment(elements);
        elements.append("  ");
        value(elements, rdf, name, field, 0);
        elements.append(newline);
      }
    }
    if (elements.length() == 0) {
      out.append(random.nextBoolean() ? "/>" : "></" + rdf + ":Description>").append(newline);
    } else {
      out.append('>').append(newline).append(elements);
      out.append(" </").append(rdf).append(":Description>").append(newline);
    }
  }

  private void simple(StringBuilder attributes, StringBuilder elements, String name, String value) {
    if (random.nextBoolean()) {
      char quote = random.nextBoolean() ? '"' : '\'';
      attributes.append(space()).append(name).append('=').append(quote);
      attributes.append(XmlText.escapeAttribute(value)).append(quote);
    } else {
      elements.append("  <").append(name).append('>').append(XmlText.escapeText(value));
      elements.append("</").append(name).append('>').append(newline);
    }
  }

  private String prefix(Map<String, String> taken) {
    String[] some = {"a", "ed", "slr", "xmp", "b-c", "n1"};
    String p = some[random.nextInt(some.length)];
    while (taken.containsValue(p)) {
      p += "x";
    }
    return p;
  }

  private String space() {
    return random.nextBoolean() ? " " : newline + "    ";
  }

  private void comment(StringBuilder out) {
    if (comments && random.nextInt(3) == 0) {
      out.append("<!-- a <b> & 'c' -->").append(newline);
    }
  }

  private String text() {
    String[] parts = {"0", "+1.50", "a b", "<&>\"'", "\u00e9\u4e2d", "\ud83d\udc8d", "", "0.1 0.2"};
    return parts[random.nextInt(parts.length)] + parts[random.nextInt(parts.length)];
  }

  private void value(StringBuilder out, String rdf, String name, String field, int depth) {
    int form = random.nextInt(depth > 2 ? 3 : 9);
    switch (form) {
      case 0 -> out.append(open(name, "")).append(XmlText.escapeText(text())).append(close(name));
      case 1 ->
          out.append(open(name, " xml:lang=\"de\""))
              .append(XmlText.escapeText(text()))
              .append(close(name));
      case 2 ->
          out.append("<" + name + " " + rdf + ":resource=\"http://x.example/?a=1&amp;b=2\"/>");
      case 3 -> {
        out.append(open(name, " " + rdf + ":parseType='Resource'"));
        fields(out, rdf, field, depth);
        out.append(close(name));
      }
      case 4 -> {
        out.append(open(name, "")).append("<" + rdf + ":Description>");
        fields(out, rdf, field, depth);
        out.append("</" + rdf + ":Description>").append(close(name));
      }
      case 5 ->
          out.append("<" + name + " " + field + ":A=\"" + XmlText.escapeAttribute(text()))
              .append("\" " + field + ":B='2'/>");
      case 6 -> {
        String kind = random.nextBoolean() ? "Seq" : "Bag";
        out.append(open(name, "")).append("<" + rdf + ":" + kind + ">");
        int n = 1 + random.nextInt(3);
        for (int i = 0; i < n; i++) {
          value(out, rdf, rdf + ":li", field, depth + 2);
        }
        out.append("</" + rdf + ":" + kind + ">").append(close(name));
      }
      case 7 -> {
        out.append(open(name, "")).append("<" + rdf + ":Alt>");
        for (String lang : List.of("x-default", "en-GB", "zh-Hans")) {
          out.append("<" + rdf + ":li xml:lang=\"" + lang + "\">");
          out.append(XmlText.escapeText(text())).append("</" + rdf + ":li>");
        }
        out.append("</" + rdf + ":Alt>").append(close(name));
      }
      default -> {
        out.append(open(name, " " + rdf + ":parseType=\"Resource\""));
        out.append("<" + rdf + ":value>").append(XmlText.escapeText(text()));
        out.append("</" + rdf + ":value><" + field + ":Q>q</" + field + ":Q>").append(close(name));
      }
    }
  }

  private void fields(StringBuilder out, String rdf, String field, int depth) {
    int n = 1 + random.nextInt(3);
    for (int i = 0; i < n; i++) {
      value(out, rdf, field + ":F" + i, field, depth + 1);
    }
  }

  private static String open(String name, String attributes) {
    return "<" + name + attributes + ">";
  }

  private static String close(String name) {
    return "</" + name + ">";
  }
}
