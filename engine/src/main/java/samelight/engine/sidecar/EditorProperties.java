package samelight.engine.sidecar;

import java.util.HashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ShootPaths;
import samelight.engine.metadata.FrameReader;

/** What an edit map says about the properties of one sidecar. */
final class EditorProperties {
  private EditorProperties() {}

  /**
   * Whether a person has edited the frame: it has a property of the map's namespaces that belongs
   * to the edit and isn't as on a frame that nobody touched.
   */
  static boolean edited(XmpPacket packet, EditMap map) throws XmpRefusedException {
    Map<PropertyName, @Nullable String> untouched = new HashMap<>();
    for (EditMap.Untouched u : map.untouched()) {
      untouched.put(u.name(), u.value());
    }
    for (XmpPacket.Property p : packet.properties.values()) {
      if (!map.namespaces().contains(p.name().namespace()) || map.stays().contains(p.name())) {
        continue;
      }
      if (!untouched.containsKey(p.name())) {
        return true;
      }
      String asUntouched = untouched.get(p.name());
      if (asUntouched != null && !asUntouched.equals(untouchedText(p.value()))) {
        return true;
      }
    }
    return false;
  }

  /** The packet in which a person's edit of a frame would be. */
  static XmpPacket edits(ShootPaths shoot, String frame, XmpPacket sidecar, @Nullable EditMap map)
      throws XmpRefusedException {
    if (map == null || !map.inFrame()) {
      return sidecar;
    }
    XmpPacket inside = inside(shoot, frame);
    return inside == null ? sidecar : inside;
  }

  /** The packet inside a frame's own file, or null where it has none. */
  static @Nullable XmpPacket inside(ShootPaths shoot, String frame) throws XmpRefusedException {
    byte[] inside = FrameReader.xmpPacket(shoot.resolve(frame)).orElse(null);
    return inside == null ? null : XmpPacket.parse(inside);
  }

  /** How an edit map notes the value of an untouched property. */
  static String untouchedText(XmpValue value) {
    boolean plain = value.simple() && value.qualifiers().isEmpty();
    return plain && value.text().length() <= 80
        ? value.text()
        : "sha256:" + GroupSource.hash(value);
  }

  /** Whether a property of the map's namespaces stays with its own frame. */
  static boolean stays(EditMap map, PropertyName name, XmpValue value) {
    return map.stays().contains(name) || (value.nested() && !map.travels().contains(name));
  }
}
