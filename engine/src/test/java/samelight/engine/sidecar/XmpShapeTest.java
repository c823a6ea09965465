package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.adobe.internal.xmp.XMPException;
import com.adobe.internal.xmp.XMPIterator;
import com.adobe.internal.xmp.properties.XMPPropertyInfo;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.junit.jupiter.api.Test;

/** The shape must hold all that decides how a reader of XMP understands a text. */
class XmpShapeTest {
  private static final String PLAIN = "abcXYZ019+-./:;,()[]{}|~!?*#%_=\u00e9\u00df\u4e2d\u0416";
  private static final PropertyName KEPT = new PropertyName("http://one.example/ns#", "Kept");
  private static final PropertyName SET = new PropertyName("http://one.example/ns#", "Set");

  @Property(tries = 400)
  void toolkit_sameShape_readsTheSameTree(@ForAll long seed) throws Exception {
    Random random = new Random(seed);
    XmpPacket one =
        packet(new XmpDocuments(random).document(XmpDocuments.STRANGERS, Map.of(KEPT, "1")));
    String shape = one.shape();
    StringBuilder text = new StringBuilder();
    for (int i = 0; i < shape.length(); i++) {
      if (shape.charAt(i) == '\0') {
        for (int n = 1 + random.nextInt(8); n > 0; n--) {
          text.append(PLAIN.charAt(random.nextInt(PLAIN.length())));
        }
      } else {
        text.append(shape.charAt(i));
      }
    }
    XmpPacket two = packet(text.toString());
    assertThat(two.shape()).isEqualTo(shape);
    assertThat(tree(two)).isEqualTo(tree(one));
  }

  @Test
  void shape_valuesThatAParserCouldTripOver_stayInIt() throws Exception {
    for (String value :
        List.of("", " ", " a", "a ", "a&amp;b", "&#65;", "\uD83C\uDF38", "a\u0085b", "it's")) {
      String text = document(value, "5");
      assertThat(packet(text).shape()).as(value).contains("one:Kept=\"" + value + "\"");
    }
    String shape = packet(document("garden", "5")).shape();
    assertThat(shape)
        .contains("rdf:about=\"uuid:1\"")
        .contains("xml:lang=\"x-default\"")
        .contains("xmlns:one=\"http://one.example/ns#\"")
        .contains("one:Kept=\"\0\" one:Set=\"\0\"")
        .contains("<rdf:li xml:lang=\"x-default\">\0</rdf:li>")
        .doesNotContain("garden");
  }

  @Test
  void change_ofAKnownShapeThatChangesMore_isStillRefused() throws Exception {
    XmpPacket before = packet(document("garden", "5"));
    Set<PropertyName> touched = Set.of(SET);
    XmpCheck.change(before, packet(document("garden", "6")), touched, Map.of(SET, "6"));

    assertThatThrownBy(
            () ->
                XmpCheck.change(before, packet(document("church", "7")), touched, Map.of(SET, "7")))
        .isInstanceOf(XmpRefusedException.class)
        .hasMessageContaining("Kept changed with it");
    assertThatThrownBy(
            () ->
                XmpCheck.change(before, packet(document("garden", "7")), touched, Map.of(SET, "8")))
        .isInstanceOf(XmpRefusedException.class)
        .hasMessageContaining("7 for 8");
  }

  private static String document(String kept, String set) {
    return """
        <x:xmpmeta xmlns:x="adobe:ns:meta/">
         <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
          <rdf:Description rdf:about="uuid:1" xmlns:one="http://one.example/ns#"
            one:Kept="%s" one:Set="%s">
           <one:Alt><rdf:Alt><rdf:li xml:lang="x-default">tea</rdf:li></rdf:Alt></one:Alt>
          </rdf:Description>
         </rdf:RDF>
        </x:xmpmeta>
        """
        .formatted(kept, set);
  }

  private static XmpPacket packet(String text) throws XmpRefusedException {
    return XmpPacket.parse(Fixture.utf8(text));
  }

  /** Namespace, path and options of every node, as the toolkit sees them. */
  private static List<String> tree(XmpPacket packet) throws XMPException, XmpRefusedException {
    List<String> nodes = new ArrayList<>();
    XMPIterator all = XmpCheck.parse(packet.xml.text).iterator();
    while (all.hasNext()) {
      XMPPropertyInfo p = (XMPPropertyInfo) all.next();
      nodes.add(p.getNamespace() + " " + p.getPath() + " " + p.getOptions().getOptionsString());
    }
    return nodes;
  }
}
