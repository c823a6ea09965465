package samelight.engine.sidecar;

import com.fasterxml.jackson.annotation.JsonInclude;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;

/**
 * What the last carry meant a frame's raw editor's properties to be, before any touch of a hand.
 * Stands in the sidecar as {@code slr:LastCarried} and in the journal, since an editor may drop
 * properties that it doesn't know.
 *
 * @param map id of the edit map, or null where the carry set none of an editor's properties
 * @param numbers texts of the compensated numbers, by property
 * @param properties short hashes of the other properties, by property
 */
@JsonInclude(JsonInclude.Include.NON_EMPTY)
record LastCarried(
    @Nullable String map, Map<String, String> numbers, Map<String, String> properties) {
  static final PropertyName NAME = RecipeNamespace.name("LastCarried");
  static final LastCarried NOTHING = new LastCarried(null, Map.of(), Map.of());

  LastCarried {
    numbers = numbers == null ? Map.of() : new TreeMap<>(numbers);
    properties = properties == null ? Map.of() : sorted(properties);
  }

  /** Sorted, and shared where it already is: it is the same for all frames of a group. */
  private static Map<String, String> sorted(Map<String, String> map) {
    return map instanceof TreeMap<String, String> ? map : new TreeMap<>(map);
  }

  /** Whether the carry set no property of an editor. */
  boolean nothing() {
    return numbers.isEmpty() && properties.isEmpty();
  }

  /** All numbers and properties that were carried. */
  Set<NumberPlace> places() {
    Set<NumberPlace> places = new TreeSet<>();
    numbers.keySet().forEach(n -> places.add(NumberPlace.parse(n)));
    properties.keySet().forEach(n -> places.add(NumberPlace.parse(n)));
    return places;
  }

  /** Whether a packet has a property as it was carried, numbers up to the rounding of both. */
  boolean heldBy(XmpPacket packet, NumberPlace place) throws XmpRefusedException {
    String number = number(place);
    if (number != null) {
      String text = place.text(packet);
      Double now = text == null ? null : NumberStyle.parse(text);
      Double then = NumberStyle.parse(number);
      if (text == null || now == null || then == null) {
        return false;
      }
      double rounding = Math.max(NumberStyle.of(text, 0).half(), NumberStyle.of(number, 0).half());
      return Math.abs(now - then) <= rounding;
    }
    XmpValue value = packet.value(place.property());
    return value != null
        && GroupSource.hash(value.without(parts(place.property()))).equals(hash(place.property()));
  }

  /** The numbers that were carried as parts of a property. */
  List<NumberPlace> parts(PropertyName name) {
    String start = name + "/";
    return numbers.keySet().stream()
        .filter(n -> n.startsWith(start))
        .map(NumberPlace::parse)
        .toList();
  }

  @Nullable String number(NumberPlace place) {
    return numbers.get(place.toString());
  }

  @Nullable String hash(PropertyName name) {
    return properties.get(name.toString());
  }

  /** What a packet says; nothing where it has none or a damaged one. */
  static LastCarried of(XmpPacket packet) throws XmpRefusedException {
    XmpValue v = packet.value(NAME);
    if (v == null || v.kind() != XmpValue.Kind.STRUCT) {
      return NOTHING;
    }
    String map = null;
    Map<String, String> numbers = new LinkedHashMap<>();
    Map<String, String> properties = new LinkedHashMap<>();
    for (XmpValue.Field f : v.fields()) {
      switch (f.name().property()) {
        case "Map" -> map = f.value().text();
        case "Numbers" -> read(f.value(), numbers);
        case "Properties" -> read(f.value(), properties);
        default -> {} // fields of a later version
      }
    }
    return new LastCarried(map, numbers, properties);
  }

  /**
   * What the journal remembers where the sidecar says nothing, be the frame a reference now or not.
   * A sidecar without any of the editor's properties is a fresh start, whatever was carried before.
   */
  static LastCarried byJournal(
      XmpPacket before, @Nullable EditMap map, Supplier<LastCarried> remembered) {
    Set<PropertyName> there = before.properties.keySet();
    if (map != null && there.stream().noneMatch(p -> map.namespaces().contains(p.namespace()))) {
      return NOTHING;
    }
    LastCarried last = remembered.get();
    return map != null || last.places().stream().anyMatch(p -> there.contains(p.property()))
        ? last
        : NOTHING;
  }

  private static void read(XmpValue bag, Map<String, String> into) {
    for (XmpValue item : bag.items()) {
      int space = item.text().indexOf(' ');
      if (space > 0) {
        into.put(item.text().substring(space + 1), item.text().substring(0, space));
      }
    }
  }

  /** As the element {@code slr:LastCarried}. */
  String toElement() {
    StringBuilder out = new StringBuilder("<slr:LastCarried rdf:parseType=\"Resource\">");
    out.append("<slr:Version>1</slr:Version>");
    if (map != null) {
      out.append("<slr:Map>").append(map).append("</slr:Map>");
    }
    bag(out, "Numbers", numbers);
    bag(out, "Properties", properties);
    return out.append("</slr:LastCarried>").toString();
  }

  private static void bag(StringBuilder out, String field, Map<String, String> entries) {
    if (entries.isEmpty()) {
      return;
    }
    out.append("<slr:").append(field).append("><rdf:Bag>");
    entries.forEach(
        (name, value) ->
            out.append("<rdf:li>")
                .append(XmlText.escapeText(value + " " + name))
                .append("</rdf:li>"));
    out.append("</rdf:Bag></slr:").append(field).append('>');
  }
}
