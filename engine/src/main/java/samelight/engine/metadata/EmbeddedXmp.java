package samelight.engine.metadata;

import java.io.StringReader;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import javax.xml.stream.XMLInputFactory;
import javax.xml.stream.XMLStreamConstants;
import javax.xml.stream.XMLStreamException;
import javax.xml.stream.XMLStreamReader;
import org.jspecify.annotations.Nullable;

/**
 * Rating and label of an XMP packet inside a frame's file (ISO 16684-1): only those two, with
 * bounds on size and depth, since the packet of an unknown file may be anything.
 *
 * @param rating xmp:Rating, -1 to 5, or null
 * @param label xmp:Label, or null
 */
record EmbeddedXmp(@Nullable Double rating, @Nullable String label) {
  /** Nothing said. */
  static final EmbeddedXmp NONE = new EmbeddedXmp(null, null);

  private static final String XMP = "http://ns.adobe.com/xap/1.0/";
  private static final int MAX_DEPTH = 64;
  private static final int MAX_EVENTS = 200_000;
  private static final int MAX_LABEL = 200;

  /** Made when first needed: most files' packets are read without it. */
  private static final class Parser {
    static final XMLInputFactory FACTORY = factory();

    private static XMLInputFactory factory() {
      XMLInputFactory f = XMLInputFactory.newDefaultFactory();
      f.setProperty(XMLInputFactory.SUPPORT_DTD, false);
      f.setProperty(XMLInputFactory.IS_SUPPORTING_EXTERNAL_ENTITIES, false);
      f.setProperty(XMLInputFactory.IS_NAMESPACE_AWARE, true);
      f.setProperty(XMLInputFactory.IS_COALESCING, true);
      return f;
    }
  }

  /**
   * Reads a packet.
   *
   * @throws XMLStreamException if it isn't well-formed, nests too deep or is too long
   */
  static EmbeddedXmp read(byte[] packet, Budget budget) throws XMLStreamException {
    Charset charset = charset(packet);
    boolean ascii = charset.equals(StandardCharsets.UTF_8);
    // What is looked for are letters of ASCII: a character of more bytes has none of them.
    String found = new String(packet, ascii ? StandardCharsets.ISO_8859_1 : charset);
    if (!found.contains("Rating") && !found.contains("Label")) {
      return NONE;
    }
    EmbeddedXmp plain = plain(found);
    if (plain != null) {
      return plain;
    }
    String text = ascii ? new String(packet, charset) : found;
    int start = text.indexOf('<');
    int end = text.lastIndexOf('>');
    if (start < 0 || end < start) {
      return NONE;
    }
    XMLStreamReader r =
        Parser.FACTORY.createXMLStreamReader(new StringReader(text.substring(start, end + 1)));
    String rating = null;
    String label = null;
    int depth = 0;
    String open = null;
    StringBuilder content = new StringBuilder();
    for (int n = 0; r.hasNext(); n++) {
      if (n > MAX_EVENTS) {
        throw new XMLStreamException("more than " + MAX_EVENTS + " parts");
      }
      budget.step();
      int event = r.next();
      if (event == XMLStreamConstants.START_ELEMENT) {
        if (++depth > MAX_DEPTH) {
          throw new XMLStreamException("nested deeper than " + MAX_DEPTH);
        }
        String inRating = r.getAttributeValue(XMP, "Rating");
        String inLabel = r.getAttributeValue(XMP, "Label");
        rating = rating == null ? inRating : rating;
        label = label == null ? inLabel : label;
        open = XMP.equals(r.getNamespaceURI()) ? r.getLocalName() : null;
        content.setLength(0);
      } else if (event == XMLStreamConstants.CHARACTERS && open != null) {
        content.append(r.getText());
      } else if (event == XMLStreamConstants.END_ELEMENT) {
        depth--;
        if ("Rating".equals(open) && rating == null) {
          rating = content.toString();
        } else if ("Label".equals(open) && label == null) {
          label = content.toString();
        }
        open = null;
      }
    }
    return new EmbeddedXmp(number(rating), clean(label));
  }

  /**
   * What cameras write: one xmp:Rating, as an attribute or an element, with the usual prefix and
   * nothing around it that would need a parser; null where a parser has to look.
   */
  private static @Nullable EmbeddedXmp plain(String text) {
    int at = text.indexOf("xmp:Rating");
    if (at < 1
        || text.contains("Label")
        || text.contains("<!")
        || !text.contains("xmlns:xmp=\"" + XMP + "\"")
        || text.indexOf("xmlns:xmp=") != text.lastIndexOf("xmlns:xmp=")) {
      return null;
    }
    int from = at + "xmp:Rating".length();
    int end;
    String rest;
    if (text.startsWith("=\"", from) && Character.isWhitespace(text.charAt(at - 1))) {
      end = text.indexOf('"', from + 2);
      from += 2;
      rest = end < 0 ? "" : text.substring(end);
    } else if (text.startsWith(">", from) && text.charAt(at - 1) == '<') {
      end = text.indexOf("</xmp:Rating>", from);
      from += 1;
      rest = end < 0 ? "" : text.substring(end + "</xmp:Rating>".length());
    } else {
      return null;
    }
    if (end < 0 || end - from > 8 || rest.contains("Rating")) {
      return null;
    }
    String rating = text.substring(from, end);
    for (int i = 0; i < rating.length(); i++) {
      if (rating.charAt(i) > 0x7F) {
        return null;
      }
    }
    return new EmbeddedXmp(number(rating), null);
  }

  private static @Nullable Double number(@Nullable String rating) {
    if (rating == null) {
      return null;
    }
    try {
      double d = Double.parseDouble(rating.strip());
      return d >= -1 && d <= 5 ? d : null;
    } catch (NumberFormatException e) {
      return null;
    }
  }

  private static @Nullable String clean(@Nullable String label) {
    if (label == null || label.isBlank()) {
      return null;
    }
    String s = label.strip();
    return s.length() > MAX_LABEL ? s.substring(0, MAX_LABEL) : s;
  }

  private static Charset charset(byte[] b) {
    if (b.length >= 2 && b[0] == (byte) 0xFE && b[1] == (byte) 0xFF) {
      return StandardCharsets.UTF_16;
    }
    return StandardCharsets.UTF_8;
  }
}
