package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import samelight.engine.frame.Frame;
import samelight.engine.match.Recipe;

/** Everything that a carry doesn't set is the same before and after, as a graph. */
class GraphPreservationTest {
  private static final Instant NOW = Instant.parse("2026-06-20T21:04:11Z");
  private static final PropertyName METADATA_DATE =
      new PropertyName("http://ns.adobe.com/xap/1.0/", "MetadataDate");

  @Provide
  Arbitrary<Long> seeds() {
    return Arbitraries.longs();
  }

  @Property(tries = 600)
  void carry_ontoAnySidecar_keepsEverythingElse(@ForAll("seeds") long seed) throws Exception {
    Random random = new Random(seed);
    XmpPacket reference = reference(random);
    GroupSource source = source(reference);
    byte[] before =
        encode(random, new XmpDocuments(random).document(XmpDocuments.STRANGERS, Map.of()));
    XmpPacket packet = XmpPacket.parse(before);

    FrameComposer.Composed c =
        FrameComposer.compose(
            source, recipe(source), packet, packet, () -> LastCarried.NOTHING, false, NOW);
    assertThat(c.outcome()).isEqualTo(Outcome.WRITTEN);
    byte[] bytes = packet.encoding.encode(String.valueOf(c.text()));
    XmpPacket after = XmpPacket.parse(bytes);

    assertThat(strangers(after)).isEqualTo(strangers(packet));
    assertThat(abouts(after)).isEqualTo(abouts(packet));
    assertThat(after.encoding).isEqualTo(packet.encoding);
    for (PropertyName name : source.opaque().keySet()) {
      assertThat(canonical(after, name)).as("%s", name).isEqualTo(canonical(reference, name));
    }
    assertThat(after.text(METADATA_DATE)).isEqualTo("2026-06-20T21:04:11Z");

    FrameComposer.Composed again =
        FrameComposer.compose(
            source, recipe(source), after, after, () -> LastCarried.NOTHING, false, NOW);
    assertThat(again.outcome()).isEqualTo(Outcome.UNCHANGED);
  }

  @Property(tries = 300)
  void carry_again_withAnotherReference_leavesOnlyWhatThatOneSays(@ForAll("seeds") long seed)
      throws Exception {
    Random random = new Random(seed);
    GroupSource first = source(reference(random));
    GroupSource second = source(reference(random));
    XmpPacket packet =
        XmpPacket.parse(
            encode(random, new XmpDocuments(random).document(XmpDocuments.STRANGERS, Map.of())));
    XmpPacket one = carried(first, packet);
    XmpPacket two = carried(second, one);
    assertThat(strangers(two)).isEqualTo(strangers(packet));
    Map<PropertyName, String> wanted = new LinkedHashMap<>();
    for (PropertyName n : second.opaque().keySet()) {
      wanted.put(n, canonical(java.util.Objects.requireNonNull(second.packet()), n));
    }
    Map<PropertyName, String> found = new LinkedHashMap<>();
    for (PropertyName n : two.properties.keySet()) {
      if (n.namespace().equals(Fixture.ED) && !Fixture.map().compensates(n)) {
        found.put(n, canonical(two, n));
      }
    }
    assertThat(found).containsExactlyInAnyOrderEntriesOf(wanted);
  }

  private static XmpPacket carried(GroupSource source, XmpPacket packet) throws Exception {
    FrameComposer.Composed c =
        FrameComposer.compose(
            source, recipe(source), packet, packet, () -> LastCarried.NOTHING, false, NOW);
    String text = c.text();
    return text == null ? packet : XmpPacket.parse(packet.encoding.encode(text));
  }

  private static GroupSource source(XmpPacket reference) throws Exception {
    return java.util.Objects.requireNonNull(GroupSource.read("r.xmp", reference, Fixture.map()));
  }

  private static XmpPacket reference(Random random) throws Exception {
    Map<PropertyName, String> simple = new LinkedHashMap<>();
    simple.put(Fixture.GAIN, "+0.35");
    simple.put(Fixture.WHITE, "5000");
    simple.put(Fixture.FRAME_BOX, "0 0 1 1");
    return XmpPacket.parse(
        encode(
            random,
            new XmpDocuments(random)
                .document(List.of(Fixture.ED, "http://purl.org/dc/elements/1.1/"), simple)));
  }

  private static Recipe recipe(GroupSource source) {
    Fixture f = new Fixture(java.nio.file.Path.of("."));
    f.match("F_2.DNG", "F_1.DNG", 0.25, 4, "mixed light");
    Frame frame = Fixture.frame("F_2.DNG");
    return Recipe.of(
        "s1",
        "g1",
        source.grade(),
        java.util.Objects.requireNonNull(f.matches.get("F_2.DNG")),
        frame);
  }

  private static byte[] encode(Random random, String text) {
    Charset[] charsets = {
      StandardCharsets.UTF_8,
      StandardCharsets.UTF_8,
      StandardCharsets.UTF_16LE,
      StandardCharsets.UTF_16BE,
      Charset.forName("UTF-32LE")
    };
    Charset charset = charsets[random.nextInt(charsets.length)];
    boolean mark = random.nextBoolean();
    return ((mark ? "\uFEFF" : "") + text).getBytes(charset);
  }

  private static Map<PropertyName, String> strangers(XmpPacket packet) throws Exception {
    Map<PropertyName, String> all = new LinkedHashMap<>();
    for (PropertyName n : packet.properties.keySet()) {
      boolean ours =
          n.namespace().equals(RecipeNamespace.URI)
              || n.namespace().equals(Fixture.ED)
              || n.equals(METADATA_DATE);
      if (!ours) {
        all.put(n, canonical(packet, n));
      }
    }
    return all;
  }

  private static List<String> abouts(XmpPacket packet) {
    List<String> all = new ArrayList<>();
    for (XmlElement d : packet.descriptions) {
      XmlElement.Attribute about = d.attribute(XmpValue.RDF, "about");
      all.add(about == null ? "none" : about.value());
    }
    return all;
  }

  private static String canonical(XmpPacket packet, PropertyName name) throws Exception {
    XmpValue value = packet.value(name);
    return value == null ? "none" : value.canonical();
  }
}
