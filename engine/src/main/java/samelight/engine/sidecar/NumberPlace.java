package samelight.engine.sidecar;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Where a number stands in a packet: in a simple property, or in a part of one that is a structure
 * or an array (ISO 16684-1, 6.3). Parts are written one behind the other with {@code /} between:
 *
 * <ul>
 *   <li>{@code Lift}, a field in the property's namespace; {@code {namespace}Lift} in another
 *   <li>{@code ?Lift}, a qualifier
 *   <li>{@code [2]}, an item of an array of simple values, counted from 1
 *   <li>{@code [Kind=tone]}, the one item whose field {@code Kind} is {@code tone}
 * </ul>
 *
 * <p>Items that are structures are never known by their number: the same number may be another
 * thing on another frame.
 */
final class NumberPlace implements Comparable<NumberPlace> {
  private sealed interface Step {}

  private record Field(PropertyName name) implements Step {}

  private record Qualifier(PropertyName name) implements Step {}

  private record Item(int number) implements Step {}

  private record ItemWith(PropertyName name, String value) implements Step {}

  private final PropertyName property;
  private final String part;
  private final List<Step> steps;

  private NumberPlace(PropertyName property, List<Step> steps) {
    this.property = property;
    this.steps = List.copyOf(steps);
    this.part = String.join("/", this.steps.stream().map(this::text).toList());
  }

  /**
   * A place.
   *
   * @param part the part as described above, or null for the property itself
   * @throws IllegalArgumentException if the part can't be understood
   */
  static NumberPlace of(PropertyName property, @Nullable String part) {
    List<Step> steps = new ArrayList<>();
    for (int at = 0; part != null && at <= part.length(); ) {
      int end = end(part, at);
      steps.add(step(property, part.substring(at, end), part));
      at = end + 1;
    }
    return new NumberPlace(property, steps);
  }

  /** The place that {@link #toString} wrote. */
  static NumberPlace parse(String text) {
    int close = text.indexOf('}');
    int slash = text.indexOf('/', Math.max(0, close));
    return slash < 0
        ? of(PropertyName.parse(text), null)
        : of(PropertyName.parse(text.substring(0, slash)), text.substring(slash + 1));
  }

  private static int end(String part, int from) {
    char closing = 0;
    for (int i = from; i < part.length(); i++) {
      char c = part.charAt(i);
      if (closing != 0) {
        closing = c == closing ? 0 : closing;
      } else if (c == '{') {
        closing = '}';
      } else if (c == '[') {
        closing = ']';
      } else if (c == '/') {
        return i;
      }
    }
    return part.length();
  }

  private static Step step(PropertyName property, String text, String whole) {
    try {
      if (text.startsWith("[") && text.endsWith("]")) {
        String inner = text.substring(1, text.length() - 1);
        int equals = inner.indexOf('=', inner.startsWith("{") ? inner.indexOf('}') : 0);
        if (equals > 0) {
          return new ItemWith(
              name(property, inner.substring(0, equals)), inner.substring(equals + 1));
        }
        int number = Integer.parseInt(inner);
        if (number >= 1) {
          return new Item(number);
        }
      } else if (text.startsWith("?")) {
        return new Qualifier(name(property, text.substring(1)));
      } else if (text.indexOf('[') < 0 && text.indexOf(']') < 0) {
        return new Field(name(property, text));
      }
    } catch (IllegalArgumentException e) {
      // said below
    }
    throw new IllegalArgumentException(
        "part must be fields, items [1] or [Name=value], and qualifiers ?Name with / between, was \""
            + whole
            + "\"");
  }

  private static PropertyName name(PropertyName property, String text) {
    return text.startsWith("{")
        ? PropertyName.parse(text)
        : new PropertyName(property.namespace(), text);
  }

  private String text(Step step) {
    if (step instanceof Field f) {
      return text(f.name());
    } else if (step instanceof Qualifier q) {
      return "?" + text(q.name());
    } else if (step instanceof Item i) {
      return "[" + i.number() + "]";
    }
    ItemWith w = (ItemWith) step;
    return "[" + text(w.name()) + "=" + w.value() + "]";
  }

  private String text(PropertyName name) {
    return name.namespace().equals(property.namespace()) ? name.property() : name.toString();
  }

  /** The top-level property. */
  PropertyName property() {
    return property;
  }

  /** The part, or null where it is the property itself. */
  @Nullable String part() {
    return steps.isEmpty() ? null : part;
  }

  /** Whether it is the property itself. */
  boolean whole() {
    return steps.isEmpty();
  }

  /** The name in words, without namespaces where they are the property's. */
  String words() {
    return whole() ? property.property() : property.property() + "/" + part;
  }

  /** The value that stands there, or null where the packet has no such place. */
  @Nullable XmpValue in(XmpPacket packet) {
    XmpValue value = packet.value(property);
    return value == null ? null : in(value);
  }

  /** The same in a value of the property. */
  @Nullable XmpValue in(XmpValue value) {
    XmpValue v = value;
    for (Step step : steps) {
      v = next(v, step);
      if (v == null) {
        return null;
      }
    }
    return v;
  }

  private static @Nullable XmpValue next(XmpValue v, Step step) {
    if (step instanceof Field f) {
      return named(v.fields(), f.name());
    } else if (step instanceof Qualifier q) {
      return named(v.qualifiers(), q.name());
    } else if (step instanceof Item i) {
      XmpValue item = i.number() <= v.items().size() ? v.items().get(i.number() - 1) : null;
      return item == null || !item.simple() ? null : item;
    }
    ItemWith w = (ItemWith) step;
    List<XmpValue> found = v.items().stream().filter(i -> has(i, w)).toList();
    return found.size() == 1 ? found.get(0) : null;
  }

  private static boolean has(XmpValue item, ItemWith wanted) {
    XmpValue field = named(item.fields(), wanted.name());
    return field != null && field.simple() && field.text().equals(wanted.value());
  }

  private static @Nullable XmpValue named(List<XmpValue.Field> fields, PropertyName name) {
    for (XmpValue.Field f : fields) {
      if (f.name().equals(name)) {
        return f.value();
      }
    }
    return null;
  }

  /** The text of the simple value that stands there, or null. */
  @Nullable String text(XmpPacket packet) {
    XmpValue v = in(packet);
    return v == null || !v.simple() ? null : v.text();
  }

  /**
   * A property as a new element that holds nothing but some numbers, or null where items of an
   * array stand in the way.
   *
   * @param prefix prefix of the property's namespace
   * @param numbers texts by place, all of one property
   */
  static @Nullable String element(String prefix, Map<NumberPlace, String> numbers) {
    NumberPlace first = numbers.keySet().iterator().next();
    for (NumberPlace p : numbers.keySet()) {
      for (Step step : p.steps) {
        if (!(step instanceof Field f)
            || !f.name().namespace().equals(first.property.namespace())) {
          return null;
        }
      }
    }
    StringBuilder out = new StringBuilder();
    element(prefix + ":", first.property.property(), numbers, 0, out);
    return out.toString();
  }

  private static void element(
      String prefix, String local, Map<NumberPlace, String> numbers, int depth, StringBuilder out) {
    Map<String, Map<NumberPlace, String>> fields = new TreeMap<>();
    numbers.forEach(
        (place, text) -> {
          if (place.steps.size() > depth) {
            String field = ((Field) place.steps.get(depth)).name().property();
            fields.computeIfAbsent(field, k -> new TreeMap<>()).put(place, text);
          }
        });
    out.append('<').append(prefix).append(local);
    if (fields.isEmpty()) {
      out.append('>').append(XmlText.escapeText(numbers.values().iterator().next()));
    } else {
      out.append(" rdf:parseType=\"Resource\">");
      fields.forEach((field, inside) -> element(prefix, field, inside, depth + 1, out));
    }
    out.append("</").append(prefix).append(local).append('>');
  }

  /** All simple values of a property that a number could stand in. */
  static List<NumberPlace> allIn(PropertyName property, XmpValue value) {
    List<NumberPlace> all = new ArrayList<>();
    collect(property, value, new ArrayList<>(), all);
    return all;
  }

  private static void collect(
      PropertyName property, XmpValue v, List<Step> at, List<NumberPlace> into) {
    if (v.simple()) {
      into.add(new NumberPlace(property, at));
    }
    for (XmpValue.Field f : v.fields()) {
      deeper(property, f.value(), at, new Field(f.name()), into);
    }
    for (XmpValue.Field q : v.qualifiers()) {
      if (!q.name().namespace().equals(XmlText.XML)) {
        deeper(property, q.value(), at, new Qualifier(q.name()), into);
      }
    }
    for (int i = 0; i < v.items().size(); i++) {
      XmpValue item = v.items().get(i);
      Step step = item.simple() ? new Item(i + 1) : told(v.items(), item);
      if (step != null) {
        deeper(property, item, at, step, into);
      }
    }
  }

  private static void deeper(
      PropertyName property, XmpValue v, List<Step> at, Step step, List<NumberPlace> into) {
    List<Step> further = new ArrayList<>(at);
    further.add(step);
    collect(property, v, further, into);
  }

  /** What tells a structure from the others of its array: a word in a field that no other has. */
  private static @Nullable Step told(List<XmpValue> items, XmpValue item) {
    for (XmpValue.Field f : item.fields()) {
      String text = f.value().simple() ? f.value().text() : "";
      if (!text.isEmpty()
          && text.length() <= 60
          && text.indexOf(']') < 0
          && NumberStyle.parse(text) == null) {
        ItemWith step = new ItemWith(f.name(), text);
        if (items.stream().filter(i -> has(i, step)).count() == 1) {
          return step;
        }
      }
    }
    return null;
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof NumberPlace p && property.equals(p.property) && part.equals(p.part);
  }

  @Override
  public int hashCode() {
    return Objects.hash(property, part);
  }

  @Override
  public int compareTo(NumberPlace other) {
    int c = property.compareTo(other.property);
    return c != 0 ? c : part.compareTo(other.part);
  }

  /** The property's name, then the part behind a slash. */
  @Override
  public String toString() {
    return whole() ? property.toString() : property + "/" + part;
  }
}
