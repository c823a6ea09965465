package samelight.engine.delivery;

import java.io.ByteArrayInputStream;
import java.nio.charset.StandardCharsets;
import javax.xml.stream.XMLInputFactory;
import javax.xml.stream.XMLStreamConstants;
import javax.xml.stream.XMLStreamException;
import javax.xml.stream.XMLStreamReader;

/** Rights in an XMP packet ([XMP], 8.3: dc:rights), read with bounds and written anew. */
final class XmpRights {
  static final String SIGNATURE = "http://ns.adobe.com/xap/1.0/\0";

  private static final String DC = "http://purl.org/dc/elements/1.1/";
  private static final String RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#";
  private static final int MOST_EVENTS = 200_000;
  private static final int LONGEST = 1_000;

  private XmpRights() {}

  /** The first text of dc:rights, or empty. */
  static String read(byte[] data, int at, int length) {
    if (!new String(data, at, length, StandardCharsets.ISO_8859_1).contains("rights")) {
      return "";
    }
    XMLInputFactory factory = XMLInputFactory.newDefaultFactory();
    factory.setProperty(XMLInputFactory.SUPPORT_DTD, false);
    factory.setProperty(XMLInputFactory.IS_SUPPORTING_EXTERNAL_ENTITIES, false);
    factory.setProperty(XMLInputFactory.IS_COALESCING, true);
    try {
      XMLStreamReader r =
          factory.createXMLStreamReader(new ByteArrayInputStream(data, at, length), "UTF-8");
      return find(r);
    } catch (XMLStreamException | RuntimeException e) {
      return ""; // a packet that can't be understood says nothing
    }
  }

  private static String find(XMLStreamReader r) throws XMLStreamException {
    int depth = 0;
    int inside = -1;
    StringBuilder text = new StringBuilder();
    for (int n = 0; r.hasNext() && n < MOST_EVENTS; n++) {
      switch (r.next()) {
        case XMLStreamConstants.START_ELEMENT -> {
          depth++;
          if (inside < 0 && DC.equals(r.getNamespaceURI()) && "rights".equals(r.getLocalName())) {
            inside = depth;
          }
        }
        case XMLStreamConstants.CHARACTERS -> {
          if (inside >= 0 && text.length() < LONGEST) {
            text.append(r.getText());
          }
        }
        case XMLStreamConstants.END_ELEMENT -> {
          boolean item = RDF.equals(r.getNamespaceURI()) && "li".equals(r.getLocalName());
          if (inside >= 0 && (item || depth == inside)) {
            return shortened(text.toString().strip());
          }
          depth--;
        }
        default -> {}
      }
    }
    return "";
  }

  private static String shortened(String s) {
    return s.length() > LONGEST ? s.substring(0, LONGEST) : s;
  }

  /** The content of an APP1 segment that says these rights and nothing else. */
  static byte[] packet(String rights) {
    String escaped =
        rights
            .replaceAll("[\\x00-\\x08\\x0B\\x0C\\x0E-\\x1F\\uFFFE\\uFFFF]", "")
            .replace("&", "&amp;")
            .replace("<", "&lt;")
            .replace(">", "&gt;");
    String xmp =
        "<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n"
            + "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n"
            + " <rdf:RDF xmlns:rdf=\""
            + RDF
            + "\">\n  <rdf:Description rdf:about=\"\" xmlns:dc=\""
            + DC
            + "\"\n    xmlns:xmpRights=\"http://ns.adobe.com/xap/1.0/rights/\""
            + " xmpRights:Marked=\"True\">\n"
            + "   <dc:rights><rdf:Alt><rdf:li xml:lang=\"x-default\">"
            + escaped
            + "</rdf:li></rdf:Alt></dc:rights>\n"
            + "  </rdf:Description>\n </rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>";
    return (SIGNATURE + xmp).getBytes(StandardCharsets.UTF_8);
  }
}
