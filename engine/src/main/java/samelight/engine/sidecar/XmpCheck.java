package samelight.engine.sidecar;

import com.adobe.internal.xmp.XMPException;
import com.adobe.internal.xmp.XMPMeta;
import com.adobe.internal.xmp.XMPMetaFactory;
import com.adobe.internal.xmp.XMPSchemaRegistry;
import com.adobe.internal.xmp.options.ParseOptions;
import java.util.Collection;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicLong;
import org.jspecify.annotations.Nullable;

/**
 * Holds each change to its promise: it sets what it was to set and leaves everything else as it is.
 * Our own parser reads every sidecar before and after and compares the graphs. The XMP toolkit's
 * parser gives a second opinion: it must accept both texts, find every other property the same, and
 * read back what was set. Since how it understands a text hangs on everything but the plain values
 * in it, it is asked once for each pair of shapes ({@link XmpShape}) and set of changed properties.
 */
final class XmpCheck {
  /** A pair of shapes, and what was changed between them. */
  private record Change(
      String before, String after, Set<PropertyName> touched, Set<PropertyName> texts) {}

  /** What the toolkit has accepted, forgotten as a whole when it is much. */
  private static final class Accepted {
    private static final long MOST_CHARS = 8L << 20;
    private static final int MOST_EACH = 1 << 18;

    private final Set<Object> known = ConcurrentHashMap.newKeySet();
    private final AtomicLong chars = new AtomicLong();

    boolean has(Object o) {
      return known.contains(o);
    }

    void add(Object o, int length) {
      if (length > MOST_EACH) {
        return;
      }
      if (chars.addAndGet(length) > MOST_CHARS) {
        known.clear();
        chars.set(length);
      }
      known.add(o);
    }
  }

  private static final Accepted ACCEPTED = new Accepted();

  private XmpCheck() {}

  /**
   * Has the toolkit accept a packet.
   *
   * @throws XmpRefusedException if it refuses the text
   */
  static void accept(XmpPacket packet) throws XmpRefusedException {
    String shape = packet.shape();
    if (!ACCEPTED.has(shape)) {
      parse(packet.xml.text);
      ACCEPTED.add(shape, shape.length());
    }
  }

  /**
   * Parses with the toolkit.
   *
   * @throws XmpRefusedException if the toolkit refuses the text
   */
  static XMPMeta parse(String text) throws XmpRefusedException {
    ParseOptions options = new ParseOptions().setOmitNormalization(true).setDisallowDoctype(true);
    try {
      return XMPMetaFactory.parseFromString(text, options);
    } catch (XMPException e) {
      Throwable cause = e.getCause() == null ? e : e.getCause();
      throw new XmpRefusedException("valid XMP (ISO 16684-1)", String.valueOf(cause.getMessage()));
    } catch (RuntimeException | StackOverflowError e) {
      throw new XmpRefusedException(
          "XMP that the toolkit can read", e.getClass().getSimpleName() + " in it");
    }
  }

  /**
   * Checks a change.
   *
   * @param before what was read
   * @param after what would be written, parsed from its bytes
   * @param touched properties that the change set or removed
   * @param texts simple properties that it set, with their texts
   * @throws XmpRefusedException if anything else changed, or if it reads back differently
   */
  static void change(
      XmpPacket before, XmpPacket after, Set<PropertyName> touched, Map<PropertyName, String> texts)
      throws XmpRefusedException {
    for (Map.Entry<PropertyName, String> t : texts.entrySet()) {
      readBack(t.getKey(), t.getValue(), after.text(t.getKey()));
    }
    untouched(before, after, touched);
    untouched(after, before, touched);
    Change change =
        new Change(before.shape(), after.shape(), Set.copyOf(touched), Set.copyOf(texts.keySet()));
    if (!ACCEPTED.has(change)) {
      secondOpinion(before.xml.text, after.xml.text, touched, texts);
      ACCEPTED.add(change, change.before().length() + change.after().length());
    }
  }

  private static void untouched(XmpPacket a, XmpPacket b, Set<PropertyName> touched)
      throws XmpRefusedException {
    for (XmpPacket.Property p : a.properties.values()) {
      if (!touched.contains(p.name())) {
        XmpPacket.Property other = b.properties.get(p.name());
        if (other == null || !p.value().same(other.value())) {
          throw elseChanged(p.name().toString());
        }
      }
    }
  }

  private static void secondOpinion(
      String textBefore,
      String textAfter,
      Set<PropertyName> touched,
      Map<PropertyName, String> texts)
      throws XmpRefusedException {
    XMPMeta before = parse(textBefore);
    XMPMeta after = parse(textAfter);
    for (Map.Entry<PropertyName, String> t : texts.entrySet()) {
      readBack(t.getKey(), t.getValue(), read(after, t.getKey()));
    }
    strip(before, touched);
    strip(after, touched);
    if (!before.dumpObject().equals(after.dumpObject())) {
      throw elseChanged("something else");
    }
  }

  private static void readBack(PropertyName name, String written, @Nullable String read)
      throws XmpRefusedException {
    if (!written.equals(read)) {
      throw new XmpRefusedException(
          "properties that read back as they were written",
          name + " " + (read == null ? "nothing" : read) + " for " + written);
    }
  }

  private static XmpRefusedException elseChanged(String what) {
    return new XmpRefusedException(
        "a change that leaves everything else as it is", what + " changed with it");
  }

  private static @Nullable String read(XMPMeta meta, PropertyName name) throws XmpRefusedException {
    try {
      return meta.getPropertyString(name.namespace(), name.property());
    } catch (XMPException e) {
      throw new XmpRefusedException("readable properties", String.valueOf(e.getMessage()));
    }
  }

  private static void strip(XMPMeta meta, Collection<PropertyName> names) {
    XMPSchemaRegistry registry = XMPMetaFactory.getSchemaRegistry();
    for (PropertyName n : names) {
      if (registry.getNamespacePrefix(n.namespace()) != null) {
        meta.deleteProperty(n.namespace(), n.property());
      }
    }
  }
}
