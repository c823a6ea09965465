package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import samelight.engine.match.Recipe;

/**
 * Real metadata, out of sample pictures of the XMP toolkit (see README.txt beside them), and of any
 * folder that the system property {@code samelight.xmp.samples} names.
 */
class SampleSidecarsTest {
  @TestFactory
  Stream<DynamicTest> carry_ontoSamples_keepsEverythingElseOrRefuses()
      throws IOException, URISyntaxException {
    List<Path> files = new ArrayList<>();
    Path own =
        Path.of(
            java.util.Objects.requireNonNull(
                    SampleSidecarsTest.class.getResource("xmp-toolkit/README.txt"))
                .toURI());
    add(files, java.util.Objects.requireNonNull(own.getParent()));
    String more = System.getProperty("samelight.xmp.samples");
    if (more != null) {
      add(files, Path.of(more));
    }
    assertThat(files).hasSizeGreaterThanOrEqualTo(3);
    return files.stream()
        .map(f -> DynamicTest.dynamicTest(String.valueOf(f.getFileName()), () -> check(f)));
  }

  private static void add(List<Path> files, Path folder) throws IOException {
    try (Stream<Path> all = Files.list(folder)) {
      all.filter(f -> SidecarFile.named(f.toString())).sorted().forEach(files::add);
    }
  }

  private static void check(Path file) throws Exception {
    byte[] before = Files.readAllBytes(file);
    Path folder = java.util.Objects.requireNonNull(file.getParent());
    boolean ours = folder.endsWith("xmp-toolkit");
    XmpPacket reference = XmpPacket.parse(Fixture.utf8(Fixture.sidecar("+0.35", "5000")));
    GroupSource source =
        java.util.Objects.requireNonNull(GroupSource.read("r", reference, Fixture.map()));
    Fixture f = new Fixture(folder);
    f.match("b", "a", 1, 0);
    Recipe recipe =
        Recipe.of(
            "s",
            "g",
            source.grade(),
            java.util.Objects.requireNonNull(f.matches.get("b")),
            Fixture.frame("b"));
    String text;
    XmpPacket packet;
    try {
      packet = XmpPacket.parse(before);
      text =
          String.valueOf(
              FrameComposer.compose(
                      source,
                      recipe,
                      packet,
                      packet,
                      () -> LastCarried.NOTHING,
                      false,
                      Instant.EPOCH)
                  .text());
    } catch (XmpRefusedException e) {
      assertThat(ours).as("%s", e).isFalse();
      System.out.println(file.getFileName() + " refused: " + e.getMessage());
      return;
    }
    XmpPacket after = XmpPacket.parse(packet.encoding.encode(text));
    for (PropertyName name : packet.properties.keySet()) {
      if (!name.property().equals("MetadataDate")) {
        assertThat(String.valueOf(value(after, name)))
            .as("%s", name)
            .isEqualTo(String.valueOf(value(packet, name)));
      }
    }
    assertThat(after.text(Fixture.GAIN)).isEqualTo("+1.35");
  }

  private static String value(XmpPacket packet, PropertyName name) throws XmpRefusedException {
    XmpValue v = packet.value(name);
    return v == null ? "none" : v.canonical();
  }
}
