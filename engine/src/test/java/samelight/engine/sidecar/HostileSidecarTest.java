package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Sidecars that must be refused, fast and untouched, and odd ones that must be understood. */
class HostileSidecarTest {
  private static final String RDF =
      "<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">";
  private static final String OPEN =
      RDF + "<rdf:Description rdf:about='' xmlns:a='http://a.example/'>";
  private static final String CLOSE = "</rdf:Description></rdf:RDF>";

  @TempDir Path shoot;

  private Outcome carryOnto(byte[] content) throws IOException {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    Files.write(shoot.resolve("F_2.xmp"), content);
    CarryResult r = f.carry();
    Outcome outcome = r.outcomes().get(1).outcome();
    if (outcome != Outcome.WRITTEN) {
      assertThat(Files.readAllBytes(shoot.resolve("F_2.xmp"))).isEqualTo(content);
      assertThat(r.attention()).isTrue();
      assertThat(r.outcomes().get(1).detail()).isNotEmpty();
    } else {
      f.revert();
      assertThat(Files.readAllBytes(shoot.resolve("F_2.xmp"))).isEqualTo(content);
    }
    return outcome;
  }

  private Outcome carryOnto(String content) throws IOException {
    return carryOnto(content.getBytes(StandardCharsets.UTF_8));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "document type | <!DOCTYPE x [<!ENTITY e 'v'>]>OPEN<a:P>&e;</a:P>CLOSE",
        "external entity | <!DOCTYPE x [<!ENTITY e SYSTEM 'file:///etc/passwd'>]>OPEN<a:P>&e;</a:P>CLOSE",
        "parameter entity | <!DOCTYPE x [<!ENTITY % p SYSTEM 'http://localhost:1/x'>%p;]>OPENCLOSE",
        "entity without declaration | OPEN<a:P>&nbsp;</a:P>CLOSE",
        "no RDF | <x:xmpmeta xmlns:x='adobe:ns:meta/'/>",
        "half | OPEN<a:P>text",
        "wrong end tag | OPEN<a:P>text</a:Q>CLOSE",
        "undeclared prefix | OPEN<b:P>text</b:P>CLOSE",
        "property twice | OPEN<a:P>1</a:P><a:P>2</a:P>CLOSE",
        "attribute twice | <a b='1' b='2'/>",
        "property without namespace | OPEN<P>1</P>CLOSE",
        "two roots | OPENCLOSE<a/>",
        "text behind | OPENCLOSE text",
        "CDATA | OPEN<a:P><![CDATA[x]]></a:P>CLOSE",
        "literal | OPEN<a:P rdf:parseType='Literal'><b/></a:P>CLOSE",
        "bad reference | OPEN<a:P>&#x110000;</a:P>CLOSE",
        "not XML | just some text",
        "empty | ''",
      })
  void carry_refusedSidecar_staysByteForByte(String name, String xml) throws IOException {
    String text = xml.replace("OPEN", OPEN).replace("CLOSE", CLOSE);
    assertThat(carryOnto(text)).as(name).isEqualTo(Outcome.UNREADABLE);
  }

  @Test
  void carry_abouts_thatDiffer_areRefused() throws IOException {
    String one = "<rdf:Description rdf:about='u:1' xmlns:a='http://a.example/' a:P='1'/>";
    String two = "<rdf:Description rdf:about='u:2' xmlns:a='http://a.example/' a:Q='1'/>";
    assertThat(carryOnto(RDF + one + two + "</rdf:RDF>")).isEqualTo(Outcome.UNREADABLE);
  }

  @Test
  void carry_entityExpansion_isRefused() throws IOException {
    StringBuilder laughs = new StringBuilder("<!DOCTYPE x [<!ENTITY a0 'ha'>");
    for (int i = 1; i < 40; i++) {
      laughs.append("<!ENTITY a").append(i).append(" '");
      laughs.append(("&a" + (i - 1) + ";").repeat(10)).append("'>");
    }
    assertThat(carryOnto(laughs + "]>" + OPEN + "<a:P>&a39;</a:P>" + CLOSE))
        .isEqualTo(Outcome.UNREADABLE);
  }

  @Test
  void carry_deepNesting_isRefused() throws IOException {
    for (int depth : new int[] {100, 100_000}) {
      String open = "<a:P rdf:parseType='Resource'>".repeat(depth);
      assertThat(carryOnto(OPEN + open + "</a:P>".repeat(depth) + CLOSE))
          .isEqualTo(Outcome.UNREADABLE);
    }
  }

  @Test
  void carry_tooManyItems_isRefused() throws IOException {
    String items = "<rdf:li>x</rdf:li>".repeat(100_000);
    assertThat(carryOnto(OPEN + "<a:P><rdf:Seq>" + items + "</rdf:Seq></a:P>" + CLOSE))
        .isEqualTo(Outcome.UNREADABLE);
  }

  @Test
  void carry_clashingPrefixes_areRefused() throws IOException {
    StringBuilder many = new StringBuilder();
    for (int i = 0; i < 12_000; i++) {
      many.append("<p:P").append(i).append(" xmlns:p='http://n").append(i).append("/'>1</p:P");
      many.append(i).append('>');
    }
    assertThat(carryOnto(OPEN + many + CLOSE)).isEqualTo(Outcome.UNREADABLE);
  }

  @Test
  void carry_sidecarOfAGigabyte_isRefusedUnread() throws IOException {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    try (RandomAccessFile big = new RandomAccessFile(shoot.resolve("F_2.xmp").toFile(), "rw")) {
      big.setLength(1L << 30);
    }
    CarryResult r = f.carry();
    assertThat(r.outcomes().get(1).outcome()).isEqualTo(Outcome.UNREADABLE);
    assertThat(r.outcomes().get(1).detail()).contains("1073741824 bytes");
  }

  @Test
  void carry_folderNamedLikeASidecar_isLeftAlone() throws IOException {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
    Files.createDirectory(shoot.resolve("F_2.xmp"));
    assertThat(f.carry().outcomes().get(1).outcome()).isEqualTo(Outcome.UNREADABLE);
  }

  @Test
  void carry_bytesThatAreNoText_areRefused() throws IOException {
    assertThat(carryOnto(new byte[] {'<', 'a', '>', (byte) 0xC3, '<', '/', 'a', '>'}))
        .isEqualTo(Outcome.UNREADABLE);
    assertThat(carryOnto("<?xml version='1.0' encoding='EBCDIC-XML'?>" + OPEN + CLOSE))
        .isEqualTo(Outcome.UNREADABLE);
  }

  @Test
  void carry_oddButValid_isWritten() throws IOException {
    String plain = OPEN + "<a:P>\u00e9 \ud83d\udc8d</a:P>" + CLOSE;
    byte[][] all = {
      plain.getBytes(StandardCharsets.UTF_8),
      ("\uFEFF" + plain).getBytes(StandardCharsets.UTF_8),
      ("\uFEFF" + plain).getBytes(StandardCharsets.UTF_16LE),
      ("\uFEFF" + plain).getBytes(StandardCharsets.UTF_16BE),
      ("\uFEFF<?xml version='1.0' encoding='UTF-16'?>" + plain).getBytes(StandardCharsets.UTF_16LE),
      ("<?xml version='1.0' encoding='ISO-8859-1'?>" + OPEN + "<a:P>\u00e9</a:P>" + CLOSE)
          .getBytes(StandardCharsets.ISO_8859_1),
      plain.replace("rdf:about=''", "rdf:about='uuid:1'").getBytes(StandardCharsets.UTF_8),
      plain.replace("rdf:about=''", "").getBytes(StandardCharsets.UTF_8),
      (plain + " ".repeat(4000) + "\r\n").getBytes(StandardCharsets.UTF_8),
      (RDF + "<rdf:Description rdf:about=''/></rdf:RDF>").getBytes(StandardCharsets.UTF_8),
    };
    for (byte[] content : all) {
      assertThat(carryOnto(content))
          .as(new String(content, StandardCharsets.ISO_8859_1))
          .isEqualTo(Outcome.WRITTEN);
    }
  }

  /**
   * Properties that the XMP toolkit calls aliases of others, or would write in another form: they
   * keep name, place and form.
   */
  @Test
  void carry_whatTheToolkitWouldRename_staysAsItIs() throws IOException {
    String[] bodies = {
      "<t:Artist xmlns:t='http://ns.adobe.com/tiff/1.0/'>Mina</t:Artist>",
      "<p:Title xmlns:p='http://ns.adobe.com/pdf/1.3/'>The day</p:Title>",
      "<q:Author xmlns:q='http://ns.adobe.com/xap/1.0/'>Mina</q:Author>",
      "<dc:creator xmlns:dc='http://purl.org/dc/elements/1.1/'>no array</dc:creator>",
      "<dc:title xmlns:dc='http://purl.org/dc/elements/1.1/'><rdf:Alt>"
          + "<rdf:li xml:lang='de'>Tag</rdf:li><rdf:li xml:lang='x-default'>Day</rdf:li>"
          + "</rdf:Alt></dc:title>",
      "<e:UserComment xmlns:e='http://ns.adobe.com/exif/1.0/'>one</e:UserComment>"
          + "<c:UserComment xmlns:c='http://cipa.jp/exif/1.0/'>two</c:UserComment>",
      "<dcterms:creator xmlns:dcterms='http://purl.org/dc/1.1/'>old namespace</dcterms:creator>",
    };
    for (String body : bodies) {
      Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
      f.write("F_1.xmp", Fixture.sidecar("+0.35", "5000"));
      f.write("F_2.xmp", OPEN + body + CLOSE);
      Outcome outcome = f.carry().outcomes().get(1).outcome();
      assertThat(outcome).as(body).isIn(Outcome.WRITTEN, Outcome.UNREADABLE);
      assertThat(f.read("F_2.xmp")).contains(body);
      f.revert();
    }
  }

  @Test
  void parse_manyWaysToWriteOneGraph_areOneGraph() throws Exception {
    String[] bodies = {
      "<a:S rdf:parseType='Resource'><a:X>1</a:X><a:Y>2</a:Y></a:S>",
      "<a:S><rdf:Description><a:Y>2</a:Y><a:X>1</a:X></rdf:Description></a:S>",
      "<a:S><rdf:Description a:X='1' a:Y='2'/></a:S>",
      "<a:S a:Y='2' a:X=\"1\"/>",
      "<z:S xmlns:z='http://a.example/' z:Y='&#50;'><!-- c --></z:S>"
          .replace("'&#50;'", "'2' z:X='1'"),
    };
    String first = null;
    for (String body : bodies) {
      XmpPacket p = XmpPacket.parse(Fixture.utf8(OPEN + body + CLOSE));
      XmpValue v = p.value(new PropertyName("http://a.example/", "S"));
      String canonical = v == null ? "" : v.canonical();
      first = first == null ? canonical : first;
      assertThat(canonical).as(body).isEqualTo(first).isNotEmpty();
    }
  }

  @Test
  void encode_whatTheEncodingLacks_becomesAReference() throws Exception {
    byte[] latin =
        ("<?xml version='1.0' encoding='ISO-8859-1'?>" + OPEN + "<a:P>\u00e9</a:P>" + CLOSE)
            .getBytes(StandardCharsets.ISO_8859_1);
    XmpPacket p = XmpPacket.parse(latin);
    XmpEditor e = new XmpEditor(p);
    PropertyName q = new PropertyName("http://a.example/", "Q");
    e.setText(q, "a", "\u4e2d\ud83d\udc8d");
    XmpPacket after = XmpPacket.parse(p.encoding.encode(e.apply()));
    assertThat(after.text(q)).isEqualTo("\u4e2d\ud83d\udc8d");
    assertThat(after.text(new PropertyName("http://a.example/", "P"))).isEqualTo("\u00e9");
  }

  @Test
  void mark_unreadableSidecar_isAFinding() {
    Fixture f = Fixture.of(shoot, "F_1.DNG", "F_2.DNG");
    f.write("F_1.xmp", "<half");
    SidecarReader.Marked m = SidecarReader.mark(shoot, f.frames);
    assertThat(m.findings()).hasSize(1);
    assertThat(m.findings().get(0).file()).isEqualTo("F_1.xmp");
    assertThat(m.states().get(0).unreadable()).isTrue();
    assertThat(m.states().get(1).exists()).isFalse();
  }

  @Test
  void mark_ratingAndLabel_areRead() {
    Fixture f = Fixture.of(shoot, "F_1.DNG");
    f.write(
        "F_1.xmp",
        OPEN.replace("xmlns:a", "xmlns:q='http://ns.adobe.com/xap/1.0/' q:Rating='-1' xmlns:a")
            + "<q:Label>second look</q:Label>"
            + CLOSE);
    SidecarReader.Marked m = SidecarReader.mark(shoot, f.frames);
    assertThat(m.frames().get(0).marks().rejected()).isTrue();
    assertThat(m.frames().get(0).marks().label()).isEqualTo("second look");
    assertThat(Map.of("carried", m.states().get(0).carried())).containsEntry("carried", false);
  }

  @Test
  void read_brokenEditMaps_nameLineAndField() throws IOException {
    String good = Fixture.map().toJson();
    Path file = shoot.resolve("map.json");
    Files.writeString(file, good);
    assertThat(EditMap.read(file)).isEqualTo(Fixture.map());
    String[][] bad = {
      {good.replace("\"stops\"", "\"kelvin\""), "unit of exposure must be \"stops\""},
      {good.replace("\"stops\"", "\"furlongs\""), "exposure.unit"},
      {good.replace("\"version\"", "\"verzion\""), "field version"},
      {good.replace("{\n  \"version\"", "{\n  \"colour\" : 1, \"version\""), "field colour"},
      {good.replace("GainStops\",", "GainStops\", \"gain\" : 3,"), "exposure.gain"},
      {good.replaceAll("(?s)\"exposure\" : \\{.*?\\},", ""), "exposure"},
      {good.replace("\"version\" : 1", "\"version\" : 2"), "version must be 1, was 2"},
      {good.replace("\"min\" : -5.0", "\"min\" : \"low\""), "exposure.min"},
      {good.replace(Fixture.ED, "http://ns.adobe.com/xap/1.0/"), "raw editor's own"},
      {good.substring(0, 60), "line"},
      {"[]", "line 1"},
      {"null", "JSON object"},
      {good + "{}", "line"},
    };
    for (String[] b : bad) {
      Files.writeString(file, b[0]);
      assertThatThrownBy(() -> EditMap.read(file))
          .as(b[0])
          .isInstanceOf(samelight.engine.files.RefusedInputException.class)
          .hasMessageContaining("map.json")
          .hasMessageContaining(b[1]);
    }
  }
}
