package samelight.engine.sidecar;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** One element of an {@link XmlText}, with the places of its parts in the text. */
final class XmlElement {
  /**
   * One attribute; namespace declarations are kept apart.
   *
   * @param prefix prefix, or empty
   * @param local local name
   * @param uri namespace, or empty
   * @param value value with references resolved
   * @param from place of the white space before it
   * @param valueFrom place behind the opening quote
   * @param valueTo place of the closing quote
   */
  record Attribute(
      String prefix, String local, String uri, String value, int from, int valueFrom, int valueTo) {
    boolean is(String namespace, String name) {
      return uri.equals(namespace) && local.equals(name);
    }

    PropertyName name() {
      return new PropertyName(uri, local);
    }

    /** Place behind the closing quote. */
    int to() {
      return valueTo + 1;
    }
  }

  /** Namespace and local name of an attribute; both may be empty. */
  record AttributeName(String uri, String local) {}

  final @Nullable XmlElement parent;
  final int depth;
  final String qualifiedName;
  final int from;
  final List<Attribute> attributes = new ArrayList<>();
  final Map<String, String> declared = new LinkedHashMap<>();
  final List<XmlElement> children = new ArrayList<>();
  String uri = "";

  /** Place behind the last attribute, or behind the name. */
  int attributesTo;

  /** Place behind the start tag. */
  int contentFrom;

  /** Place of the end tag; that of {@link #to} for an empty-element tag. */
  int contentTo;

  /** Place behind the whole element. */
  int to;

  boolean emptyTag;

  XmlElement(@Nullable XmlElement parent, String qualifiedName, int from) {
    this.parent = parent;
    this.depth = parent == null ? 1 : parent.depth + 1;
    this.qualifiedName = qualifiedName;
    this.from = from;
  }

  String prefix() {
    int colon = qualifiedName.indexOf(':');
    return colon < 0 ? "" : qualifiedName.substring(0, colon);
  }

  String local() {
    return qualifiedName.substring(qualifiedName.indexOf(':') + 1);
  }

  boolean is(String namespace, String name) {
    return uri.equals(namespace) && local().equals(name);
  }

  PropertyName name() {
    return new PropertyName(uri, local());
  }

  /** The namespace that a prefix stands for here, or null. */
  @Nullable String namespaceOf(String prefix) {
    for (XmlElement e = this; e != null; e = e.parent) {
      String found = e.declared.get(prefix);
      if (found != null) {
        return found;
      }
    }
    return prefix.equals("xml") ? XmlText.XML : null;
  }

  /** A prefix, not empty, that stands for a namespace here, or null. */
  @Nullable String prefixOf(String namespace) {
    for (XmlElement e = this; e != null; e = e.parent) {
      for (Map.Entry<String, String> d : e.declared.entrySet()) {
        if (d.getValue().equals(namespace)
            && !d.getKey().isEmpty()
            && namespace.equals(namespaceOf(d.getKey()))) {
          return d.getKey();
        }
      }
    }
    return null;
  }

  @Nullable Attribute attribute(String namespace, String name) {
    for (Attribute a : attributes) {
      if (a.is(namespace, name)) {
        return a;
      }
    }
    return null;
  }
}
