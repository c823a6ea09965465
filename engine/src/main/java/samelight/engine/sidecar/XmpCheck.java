package samelight.engine.sidecar;

import com.adobe.internal.xmp.XMPException;
import com.adobe.internal.xmp.XMPMeta;
import com.adobe.internal.xmp.XMPMetaFactory;
import com.adobe.internal.xmp.XMPSchemaRegistry;
import com.adobe.internal.xmp.options.ParseOptions;
import java.util.Collection;
import java.util.Map;

/**
 * A second opinion on every sidecar, from the XMP toolkit's own parser: it must accept the text
 * before and after, must find every property that a change didn't set the same in both, and must
 * read back what was set.
 */
final class XmpCheck {
  private XmpCheck() {}

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
   * @param before parsed text before; is used up
   * @param after text after
   * @param touched properties that the change set or removed
   * @param texts simple properties that it set, with their texts
   * @throws XmpRefusedException if anything else changed, or if it reads back differently
   */
  static void change(
      XMPMeta before,
      String after,
      Collection<PropertyName> touched,
      Map<PropertyName, String> texts)
      throws XmpRefusedException {
    XMPMeta meta = parse(after);
    for (Map.Entry<PropertyName, String> t : texts.entrySet()) {
      String read = read(meta, t.getKey());
      if (!t.getValue().equals(read)) {
        throw new XmpRefusedException(
            "properties that read back as they were written",
            t.getKey() + " " + read + " for " + t.getValue());
      }
    }
    strip(before, touched);
    strip(meta, touched);
    if (!before.dumpObject().equals(meta.dumpObject())) {
      throw new XmpRefusedException(
          "a change that leaves everything else as it is", "something else changed with it");
    }
  }

  private static String read(XMPMeta meta, PropertyName name) throws XmpRefusedException {
    try {
      String value = meta.getPropertyString(name.namespace(), name.property());
      return value == null ? "nothing" : value;
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
