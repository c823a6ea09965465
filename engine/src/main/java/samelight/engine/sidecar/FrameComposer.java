package samelight.engine.sidecar;

import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import samelight.engine.match.Recipe;
import samelight.engine.quantity.Ev;

/**
 * Makes the new content of one sidecar from its old content, a recipe, and what its group is
 * carried from. Pure: the same input gives the same bytes, but for {@code xmp:MetadataDate}.
 */
final class FrameComposer {
  private static final PropertyName METADATA_DATE =
      new PropertyName("http://ns.adobe.com/xap/1.0/", "MetadataDate");

  /**
   * What came out.
   *
   * @param outcome WRITTEN, UNCHANGED or EDITED_BEFORE
   * @param text new text of the sidecar where written, else null
   * @param bytes the same in the sidecar's encoding
   * @param recipe the recipe as it is written, with reasons of its own
   * @param last what is remembered for the next carry
   * @param touches touches of a hand that were kept
   * @param ownExposure exposure that a person had given the frame, where it was edited before
   */
  @SuppressWarnings("ArrayRecordComponent") // moved through once, never compared
  record Composed(
      Outcome outcome,
      @Nullable String text,
      byte @Nullable [] bytes,
      Recipe recipe,
      LastCarried last,
      List<HandTouch> touches,
      @Nullable Ev ownExposure) {}

  private final GroupSource source;
  private final boolean overTouches;
  private final Instant now;

  private final Recipe recipe;
  private final boolean reference;
  private final XmpPacket packet;

  /**
   * Where a person's touches are: the sidecar, or the packet inside the frame's own file once the
   * editor has taken the sidecar in.
   */
  private final XmpPacket hand;

  private final LastCarried last;
  private final XmpEditor editor;
  private final Set<PropertyName> changed = new HashSet<>();
  private final Set<PropertyName> byHand = new TreeSet<>();
  private final Map<PropertyName, String> texts = new HashMap<>();

  /** Wanted texts of numbers that are parts of a property. */
  private final Map<NumberPlace, String> parts = new TreeMap<>();

  /** Properties with such numbers that were written whole. */
  private final Set<PropertyName> whole = new HashSet<>();

  private final Map<String, String> newNumbers = new TreeMap<>();
  private final List<HandTouch> touches = new ArrayList<>();
  private final List<String> reasons;

  private FrameComposer(
      GroupSource source,
      Recipe recipe,
      XmpPacket packet,
      XmpPacket hand,
      LastCarried last,
      boolean overTouches,
      Instant now)
      throws XmpRefusedException {
    this.source = source;
    this.recipe = recipe;
    this.reference = recipe.frame().equals(recipe.reference());
    this.packet = packet;
    this.hand = hand;
    this.last = last;
    this.overTouches = overTouches;
    this.now = now;
    this.editor = new XmpEditor(packet);
    this.reasons = new ArrayList<>(recipe.needsEyes());
  }

  /**
   * Composes.
   *
   * @param before parsed content before; of an empty packet where there was no sidecar
   * @param edits where a person's edit of this frame would be: {@code before}, or the packet inside
   *     the frame's own file
   * @param remembered what the journal remembers of the last carry; used where the sidecar says
   *     nothing
   * @throws XmpRefusedException if the sidecar can't be understood, or the result would not be safe
   */
  static Composed compose(
      GroupSource source,
      Recipe recipe,
      XmpPacket before,
      XmpPacket edits,
      Supplier<LastCarried> remembered,
      boolean overTouches,
      Instant now)
      throws XmpRefusedException {
    EditMap map = source.map();
    LastCarried own = LastCarried.of(before);
    LastCarried last = own.nothing() ? LastCarried.byJournal(before, map, remembered) : own;
    boolean takenIn = edits != before && map != null && EditorProperties.edited(edits, map);
    return new FrameComposer(
            source, recipe, before, takenIn ? edits : before, last, overTouches, now)
        .compose(edits);
  }

  private Composed compose(XmpPacket edits) throws XmpRefusedException {
    XmpCheck.accept(packet);
    EditMap map = source.map();
    LastCarried next;
    if (map == null || reference) {
      next = last;
    } else {
      if (last.nothing() && EditorProperties.edited(edits, map)) {
        return new Composed(
            Outcome.EDITED_BEFORE, null, null, recipe, last, List.of(), ownExposure(edits, map));
      }
      for (CarriedNumber number : source.numbers()) {
        number(number);
      }
      opaque(map);
      parts();
      next = new LastCarried(source.mapId(), newNumbers, source.carried());
    }
    Recipe written = withReasons();
    for (Map.Entry<PropertyName, @Nullable String> e : RecipeProperties.texts(written).entrySet()) {
      own(e.getKey(), e.getValue());
    }
    if (RecipeProperties.needsEyes(packet, editor, written.needsEyes())) {
      changed.add(RecipeProperties.needsEyesName());
    }
    XmpValue lastNow = packet.value(LastCarried.NAME);
    if (lastNow == null || !LastCarried.of(packet).equals(next)) {
      editor.setElement(LastCarried.NAME, next.toElement(), RecipeProperties.needed());
      changed.add(LastCarried.NAME);
    }
    if (changed.isEmpty()) {
      return new Composed(Outcome.UNCHANGED, null, null, written, next, touches, null);
    }
    set(METADATA_DATE, "xmp", now.truncatedTo(ChronoUnit.SECONDS).toString());
    String after = editor.apply();
    byte[] bytes = packet.encoding.encode(after);
    XmpPacket result = XmpPacket.parse(bytes);
    XmpCheck.change(packet, result, changed, texts);
    arrived(result);
    return new Composed(Outcome.WRITTEN, after, bytes, written, next, touches, null);
  }

  private static @Nullable Ev ownExposure(XmpPacket edits, EditMap map) throws XmpRefusedException {
    String text = map.exposure().place().text(edits);
    Double number = text == null ? map.exposure().absent() : NumberStyle.parse(text);
    if (number == null) {
      return null;
    }
    try {
      return new Ev(map.exposure().relationOrIdentity().quantity(number));
    } catch (IllegalArgumentException e) {
      return null;
    }
  }

  private Recipe withReasons() {
    return new Recipe(
        recipe.frame(),
        recipe.section(),
        recipe.group(),
        recipe.reference(),
        recipe.stopsToReference(),
        recipe.exposure(),
        recipe.stopsSigma(),
        recipe.miredSigma(),
        recipe.colourTemperature(),
        recipe.duv(),
        recipe.miredFromAsShot(),
        reasons);
  }

  private void own(PropertyName name, @Nullable String wanted) throws XmpRefusedException {
    String current = packet.text(name);
    if (wanted == null) {
      if (packet.properties.containsKey(name)) {
        editor.remove(name);
        changed.add(name);
      }
    } else if (!wanted.equals(current)) {
      set(name, RecipeNamespace.PREFIX, wanted);
    }
  }

  private void set(PropertyName name, String prefix, String text) throws XmpRefusedException {
    editor.setText(name, prefix, text);
    changed.add(name);
    texts.put(name, text);
  }

  /** The quantity that the recipe wants for a number, or null where it wants none. */
  private @Nullable Double wanted(CarriedNumber n) {
    return switch (n.property().unit()) {
      case STOPS -> recipe.exposure().stops();
      case KELVIN -> {
        var k = recipe.colourTemperature();
        yield k == null ? null : k.value();
      }
      case MIRED -> {
        var k = recipe.colourTemperature();
        yield k == null ? null : k.toMired().value();
      }
      case DUV -> {
        var d = recipe.duv();
        yield d == null ? null : d.value();
      }
    };
  }

  private void number(CarriedNumber n) throws XmpRefusedException {
    PropertyName name = n.property().name();
    Double quantity = wanted(n);
    NumberPlace place = n.property().place();
    String current = place.text(hand);
    boolean present = place.in(hand) != null;
    String before = last.number(place);
    if (quantity == null) {
      if (present && before != null && same(n, current, before)) {
        if (place.whole()) {
          remove(name);
        }
      } else if (present && before != null) {
        touch(name, "set by hand");
      }
      return;
    }
    String carried = n.format(quantity);
    newNumbers.put(place.toString(), carried);
    if (n.beyond(quantity)) {
      reasons.add(
          place.words()
              + " would be "
              + n.style().format(n.property().relationOrIdentity().number(quantity))
              + ", beyond what the editor takes");
    }
    String wanted = carried;
    if (!overTouches && !last.nothing()) {
      Double now = current == null ? n.property().absent() : NumberStyle.parse(current);
      Double then = before == null ? null : NumberStyle.parse(before);
      if (now == null || then == null) {
        if (present || before != null) {
          touch(name, present ? "set by hand" : "removed by hand");
          if (place.whole()) {
            asByHand(name);
          } else if (current != null) {
            parts.put(place, current);
          }
          return;
        }
      } else {
        double moved = n.touch(now, then);
        if (n.real(moved)) {
          wanted = n.touched(carried, moved);
          touch(name, n.words(moved));
        }
      }
    }
    if (!place.whole()) {
      boolean there = same(n, place.text(packet), wanted);
      parts.put(place, there ? Objects.requireNonNull(place.text(packet)) : wanted);
    } else if (!packet.properties.containsKey(name) || !same(n, packet.text(name), wanted)) {
      setNumber(n, wanted);
    }
  }

  private static boolean same(CarriedNumber n, @Nullable String a, String b) {
    Double x = a == null ? null : NumberStyle.parse(a);
    Double y = NumberStyle.parse(b);
    return x != null && y != null && Math.abs(x - y) < n.style().half();
  }

  /** In the form that the frame has, else in that of the reference. */
  private void setNumber(CarriedNumber n, String text) throws XmpRefusedException {
    PropertyName name = n.property().name();
    XmpPacket from = Objects.requireNonNull(source.packet());
    XmpPacket.Property there = from.properties.get(name);
    if (packet.properties.containsKey(name) || there == null || there.element() == null) {
      String prefix = XmpEditor.preferredPrefix(from, name.namespace());
      set(name, prefix == null ? "ns" : prefix, text);
      return;
    }
    XmpValue value = there.value();
    XmpValue.Place place = value.place();
    XmlElement e = there.element();
    String escaped =
        place != null && place.attribute()
            ? XmlText.escapeAttribute(text)
            : XmlText.escapeText(text);
    String xml = from.xml.text;
    if (place == null) {
      throw new XmpRefusedException("a number with a place of its own", name.toString());
    }
    editor.setElement(
        name,
        xml.substring(e.from, place.from()) + escaped + xml.substring(place.to(), e.to),
        XmpNamespaces.needed(e));
    changed.add(name);
    texts.put(name, text);
  }

  private void opaque(EditMap map) throws XmpRefusedException {
    XmpPacket from = Objects.requireNonNull(source.packet());
    Set<PropertyName> names = new TreeSet<>(source.opaque().keySet());
    for (PropertyName p : hand.properties.keySet()) {
      if (last.hash(p) != null && !map.compensates(p)) {
        names.add(p);
      }
    }
    for (PropertyName name : names) {
      String base = source.opaque().get(name);
      List<NumberPlace> numbers = map.parts(name);
      XmpValue value = hand.value(name);
      if (base == null && (map.stays().contains(name) || value == null)) {
        continue;
      }
      String current = value == null ? null : GroupSource.hash(value.without(numbers));
      String before = last.hash(name);
      boolean same = Objects.equals(current, base);
      if (!same && !overTouches && !last.nothing() && !Objects.equals(current, before)) {
        touch(name, value == null ? "removed by hand" : "set by hand");
        asByHand(name);
        continue;
      }
      XmpValue there = packet.value(name);
      String standing = there == null ? null : GroupSource.hash(there.without(numbers));
      if (Objects.equals(standing, base)) {
        continue;
      }
      if (base == null) {
        remove(name);
      } else if (!numbers.isEmpty()) {
        copyWithParts(from, name);
      } else {
        editor.copy(from, Objects.requireNonNull(from.properties.get(name)));
        changed.add(name);
      }
    }
  }

  private void remove(PropertyName name) throws XmpRefusedException {
    if (packet.properties.containsKey(name)) {
      editor.remove(name);
      changed.add(name);
    }
  }

  /**
   * Makes the sidecar say what a person said inside the frame, since the editor will read the
   * sidecar again. Where touches are in the sidecar itself there is nothing to do.
   */
  private void asByHand(PropertyName name) throws XmpRefusedException {
    if (hand == packet) {
      return;
    }
    XmpPacket.Property there = hand.properties.get(name);
    XmpValue value = hand.value(name);
    if (there == null || value == null) {
      remove(name);
      return;
    }
    XmpValue now = packet.value(name);
    if (now == null || !now.canonical().equals(value.canonical())) {
      if (parts.keySet().stream().anyMatch(p -> p.property().equals(name))) {
        copyWithParts(hand, name);
        byHand.add(name);
        return;
      }
      editor.copy(hand, there);
      changed.add(name);
      byHand.add(name);
    }
  }

  /** Copies a property with the numbers that are wanted in it. */
  private void copyWithParts(XmpPacket from, PropertyName name) throws XmpRefusedException {
    XmlElement e = Objects.requireNonNull(from.properties.get(name)).element();
    if (e == null) {
      throw new XmpRefusedException("a structure or an array", name + ", a plain value");
    }
    StringBuilder out = new StringBuilder(from.xml.text.substring(e.from, e.to));
    TreeMap<Integer, Map.Entry<XmpValue.Place, String>> fromBehind =
        new TreeMap<>(Comparator.reverseOrder());
    for (Map.Entry<NumberPlace, String> p : parts.entrySet()) {
      if (p.getKey().property().equals(name)) {
        XmpValue.Place place = place(from, p.getKey());
        fromBehind.put(place.from(), Map.entry(place, p.getValue()));
      }
    }
    fromBehind.forEach(
        (at, p) ->
            out.replace(at - e.from, p.getKey().to() - e.from, escaped(p.getKey(), p.getValue())));
    editor.setElement(name, out.toString(), XmpNamespaces.needed(e));
    changed.add(name);
    whole.add(name);
  }

  private static String escaped(XmpValue.Place place, String text) {
    return place.attribute() ? XmlText.escapeAttribute(text) : XmlText.escapeText(text);
  }

  private static XmpValue.Place place(XmpPacket packet, NumberPlace number)
      throws XmpRefusedException {
    XmpValue leaf = number.in(packet);
    if (leaf == null || !leaf.simple() || leaf.place() == null) {
      throw new NoPlaceException(
          "the place of a compensated number", "no " + number + " that can be set");
    }
    return leaf.place();
  }

  /** Sets the numbers that are parts of properties which were not written whole. */
  private void parts() throws XmpRefusedException {
    Map<PropertyName, Map<NumberPlace, String>> missing = new TreeMap<>();
    for (Map.Entry<NumberPlace, String> p : parts.entrySet()) {
      NumberPlace number = p.getKey();
      PropertyName name = number.property();
      if (whole.contains(name) || p.getValue().equals(number.text(packet))) {
        continue;
      }
      if (packet.properties.containsKey(name)) {
        sameTuple(number);
        editor.replaceText(place(packet, number), p.getValue());
      } else {
        missing.computeIfAbsent(name, k -> new TreeMap<>()).put(number, p.getValue());
      }
      changed.add(name);
    }
    for (Map.Entry<PropertyName, Map<NumberPlace, String>> m : missing.entrySet()) {
      onlyNumbers(m.getKey(), m.getValue());
    }
  }

  /** Items of an array are known by their number only where the arrays are of one length. */
  private void sameTuple(NumberPlace number) throws XmpRefusedException {
    XmpValue sent = Objects.requireNonNull(source.packet()).value(number.property());
    XmpValue own = packet.value(number.property());
    if (sent != null && own != null && sent.items().size() != own.items().size()) {
      throw new NoPlaceException(
          "an array of "
              + sent.items().size()
              + " items as on the reference in "
              + number.property(),
          String.valueOf(own.items().size()));
    }
  }

  /** Makes a structure that holds nothing but compensated numbers. */
  private void onlyNumbers(PropertyName name, Map<NumberPlace, String> numbers)
      throws XmpRefusedException {
    XmpPacket from = Objects.requireNonNull(source.packet());
    String preferred = XmpEditor.preferredPrefix(from, name.namespace());
    String prefix = preferred == null || preferred.isEmpty() ? "ns" : preferred;
    String element = NumberPlace.element(prefix, numbers);
    if (element == null) {
      throw new NoPlaceException(
          "the array that holds a compensated number", "no " + name + " in the sidecar");
    }
    editor.setElement(name, element, Map.of(prefix, name.namespace(), "rdf", XmpValue.RDF));
    whole.add(name);
  }

  private void touch(PropertyName name, String words) {
    touches.add(new HandTouch(recipe.frame(), name, words));
  }

  /** What is carried must be the same graph as on the reference. */
  private void arrived(XmpPacket result) throws XmpRefusedException {
    XmpPacket from = source.packet();
    if (from == null || reference) {
      return;
    }
    EditMap map = Objects.requireNonNull(source.map());
    for (Map.Entry<NumberPlace, String> p : parts.entrySet()) {
      if (!p.getValue().equals(p.getKey().text(result))) {
        throw new XmpRefusedException(
            "properties that read back as they were written", p.getKey() + " did not");
      }
    }
    Set<PropertyName> partsOnly = partsOnly();
    for (PropertyName name : partsOnly) {
      XmpValue was = packet.value(name);
      XmpValue value = result.value(name);
      List<NumberPlace> numbers = map.parts(name);
      if (was != null && (value == null || !value.without(numbers).same(was.without(numbers)))) {
        throw new XmpRefusedException(
            "a change that leaves everything else as it is", name + " changed with it");
      }
    }
    for (PropertyName name : source.opaque().keySet()) {
      if (changed.contains(name) && !byHand.contains(name)) {
        XmpValue sent = from.value(name);
        XmpValue value = result.value(name);
        List<NumberPlace> numbers = map.parts(name);
        if (partsOnly.contains(name)) {
          continue;
        }
        if (sent == null || value == null || !value.without(numbers).same(sent.without(numbers))) {
          throw new XmpRefusedException(
              "properties that arrive as they left", name + " changed on the way");
        }
      }
    }
  }

  /** Properties of which only the numbers were set. */
  private Set<PropertyName> partsOnly() {
    Set<PropertyName> names = new TreeSet<>();
    for (NumberPlace p : parts.keySet()) {
      if (changed.contains(p.property()) && !whole.contains(p.property())) {
        names.add(p.property());
      }
    }
    return names;
  }
}
