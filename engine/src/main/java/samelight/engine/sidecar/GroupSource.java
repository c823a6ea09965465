package samelight.engine.sidecar;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.RefusedInputException;
import samelight.engine.match.Grade;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;
import samelight.engine.quantity.Mired;

/**
 * What a group's frames are carried from: the grade, and the reference's sidecar seen through the
 * edit map.
 *
 * @param grade the grade
 * @param map the edit map, or null where only our own properties are written
 * @param mapId its id, or null without a map
 * @param packet the reference's sidecar, or null without a map
 * @param numbers the compensated numbers, empty without a map
 * @param opaque hashes of the properties that are carried as they are, by name
 * @param carried the same hashes as they are remembered, by name in words
 * @param staying properties on the reference that stay with it
 */
record GroupSource(
    Grade grade,
    @Nullable EditMap map,
    @Nullable String mapId,
    @Nullable XmpPacket packet,
    List<CarriedNumber> numbers,
    Map<PropertyName, String> opaque,
    Map<String, String> carried,
    SortedSet<PropertyName> staying) {

  /** A grade that was stated without a raw editor. */
  static GroupSource stated(Grade grade) {
    return new GroupSource(grade, null, null, null, List.of(), Map.of(), Map.of(), new TreeSet<>());
  }

  /**
   * The grade that a reference's sidecar says.
   *
   * @return null where the reference has not been edited
   * @throws XmpRefusedException if the sidecar can't be understood
   * @throws RefusedInputException if it was edited but exposure is missing or isn't a number
   */
  static @Nullable GroupSource read(String sidecar, XmpPacket packet, EditMap map)
      throws XmpRefusedException {
    if (!EditorProperties.edited(packet, map)) {
      return null;
    }
    List<CarriedNumber> numbers = new ArrayList<>();
    CarriedNumber exposure = CarriedNumber.read(sidecar, packet, map.exposure());
    if (exposure.quantity() == null) {
      throw new RefusedInputException(
          sidecar,
          "the edited reference must have the exposure property of the edit map, "
              + map.exposure().place(),
          "none",
          "Nothing was written; save the edit with an exposure, or state in the edit map what its"
              + " absence means (\"absent\": 0)");
    }
    numbers.add(exposure);
    Kelvin kelvin = null;
    if (map.cct() != null) {
      CarriedNumber cct = CarriedNumber.read(sidecar, packet, map.cct());
      numbers.add(cct);
      kelvin = kelvin(sidecar, cct);
    }
    Duv duv = null;
    if (map.duv() != null) {
      CarriedNumber tint = CarriedNumber.read(sidecar, packet, map.duv());
      numbers.add(tint);
      duv = duv(sidecar, tint);
    }
    Map<PropertyName, String> opaque = new TreeMap<>();
    SortedSet<PropertyName> staying = new TreeSet<>();
    for (XmpPacket.Property p : packet.properties.values()) {
      if (!map.namespaces().contains(p.name().namespace()) || map.compensates(p.name())) {
        continue;
      }
      XmpValue value = p.value();
      if (EditorProperties.stays(map, p.name(), value)) {
        staying.add(p.name());
      } else {
        opaque.put(p.name(), hash(value.without(map.parts(p.name()))));
      }
    }
    Map<String, String> carried = new TreeMap<>();
    opaque.forEach((name, hash) -> carried.put(name.toString(), hash));
    Grade grade = new Grade(new Ev(exposure.quantity()), kelvin, duv);
    return new GroupSource(grade, map, map.id(), packet, numbers, opaque, carried, staying);
  }

  private static @Nullable Kelvin kelvin(String sidecar, CarriedNumber cct) {
    Double q = cct.quantity();
    if (q == null) {
      return null;
    }
    try {
      return cct.property().unit() == NumberProperty.Unit.MIRED
          ? new Mired(q).toKelvin()
          : new Kelvin(q);
    } catch (IllegalArgumentException e) {
      throw wrong(sidecar, cct, e);
    }
  }

  private static @Nullable Duv duv(String sidecar, CarriedNumber tint) {
    Double q = tint.quantity();
    try {
      return q == null ? null : new Duv(q);
    } catch (IllegalArgumentException e) {
      throw wrong(sidecar, tint, e);
    }
  }

  private static RefusedInputException wrong(
      String sidecar, CarriedNumber n, IllegalArgumentException e) {
    return new RefusedInputException(
        sidecar,
        n.property().place() + " must be what the edit map says it is",
        String.valueOf(e.getMessage()),
        "Nothing was written; check unit and relation in the edit map",
        e);
  }

  /** A short hash of a value: its first 64 bits are enough to see that it changed. */
  static String hash(XmpValue value) {
    byte[] canonical = value.canonical().getBytes(java.nio.charset.StandardCharsets.UTF_8);
    return ContentHash.of(canonical).substring(0, 16);
  }
}
