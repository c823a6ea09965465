package samelight.engine.sidecar;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Sidecars read by exiftool and by exempi, readers of other makes, where they are installed. */
class CrossReadTest {
  @TempDir Path shoot;

  /** Whether it can be started; its exit status for a plain question is its own affair. */
  private static boolean installed(String... command) throws InterruptedException {
    try {
      Process p = new ProcessBuilder(command).redirectErrorStream(true).start();
      p.getInputStream().readAllBytes();
      p.waitFor();
      return true;
    } catch (IOException e) {
      return false;
    }
  }

  private static @Nullable String run(String... command) throws InterruptedException {
    try {
      Process p = new ProcessBuilder(command).start();
      String out = new String(p.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      return p.waitFor() == 0 ? out : null;
    } catch (IOException e) {
      return null;
    }
  }

  private Map<String, String> read(String sidecar) throws Exception {
    String json =
        run("exiftool", "-j", "-G1", "-struct", "-a", "-n", shoot.resolve(sidecar).toString());
    JsonNode all = new ObjectMapper().readTree(String.valueOf(json)).get(0);
    Map<String, String> tags = new TreeMap<>();
    all.properties().forEach(f -> tags.put(f.getKey(), f.getValue().toString()));
    assertThat(tags).doesNotContainKeys("ExifTool:Error", "ExifTool:Warning");
    tags.keySet()
        .removeIf(
            k ->
                k.startsWith("System:")
                    || k.startsWith("File:")
                    || k.startsWith("ExifTool:")
                    || k.equals("SourceFile"));
    return tags;
  }

  private static final String[] SAMPLES = {
    "blue-square-jpeg", "blue-square-png", "blue-square-gif"
  };

  private Fixture samples() throws IOException {
    Fixture f = Fixture.of(shoot, "F_0.DNG", "F_1.DNG", "F_2.DNG", "F_3.DNG", "F_4.DNG");
    f.match("F_4.DNG", "F_0.DNG", 0.4, 8, "mixed light");
    f.write("F_0.xmp", Fixture.sidecar("+0.35", "5000"));
    for (int i = 0; i < SAMPLES.length; i++) {
      try (var in = CrossReadTest.class.getResourceAsStream("xmp-toolkit/" + SAMPLES[i] + ".xmp")) {
        Files.copy(java.util.Objects.requireNonNull(in), shoot.resolve("F_" + (i + 1) + ".xmp"));
      }
    }
    return f;
  }

  /** Properties that exempi (the XMP toolkit in C++) finds, as graphs, but those that we set. */
  private Map<PropertyName, String> exempi(String sidecar) throws Exception {
    String dump = run("exempi", "-X", "-x", shoot.resolve(sidecar).toString());
    String xml = String.valueOf(dump);
    assertThat(xml).contains("<x:xmpmeta");
    XmpPacket packet = XmpPacket.parse(Fixture.utf8(xml.substring(xml.indexOf("<x:xmpmeta"))));
    Map<PropertyName, String> all = new TreeMap<>();
    for (PropertyName name : packet.properties.keySet()) {
      if (!name.namespace().equals(RecipeNamespace.URI)
          && !name.namespace().equals(Fixture.ED)
          && !name.property().equals("MetadataDate")) {
        all.put(name, java.util.Objects.requireNonNull(packet.value(name)).canonical());
      }
    }
    return all;
  }

  private String exempi(String sidecar, String namespace, String prefix, String property)
      throws InterruptedException {
    String file = shoot.resolve(sidecar).toString();
    String said = run("exempi", "-X", "-n", namespace, prefix, "-g", prefix + ":" + property, file);
    return String.valueOf(said).strip();
  }

  @Test
  void exempi_readsWhatWasWritten_andTheRestAsBefore() throws Exception {
    assumeTrue(installed("exempi", "-h"), "exempi is not installed (exempi)");
    Fixture f = samples();
    Map<String, Map<PropertyName, String>> before = new TreeMap<>();
    for (int i = 1; i <= SAMPLES.length; i++) {
      before.put("F_" + i + ".xmp", exempi("F_" + i + ".xmp"));
    }
    assertThat(before.values()).allSatisfy(all -> assertThat(all).hasSizeGreaterThan(5));
    assertThat(f.carry().count(Outcome.WRITTEN)).isEqualTo(5);
    for (Map.Entry<String, Map<PropertyName, String>> e : before.entrySet()) {
      assertThat(exempi(e.getKey())).as(e.getKey()).isEqualTo(e.getValue());
    }
    assertThat(exempi("F_4.xmp", RecipeNamespace.URI, "slr", "StopsToReference"))
        .isEqualTo("+0.400");
    assertThat(exempi("F_4.xmp", Fixture.ED, "ed", "GainStops")).isEqualTo("+0.75");
  }

  @Test
  void exiftool_readsWhatWasWritten_andTheRestAsBefore() throws Exception {
    assumeTrue(installed("exiftool", "-ver"), "exiftool is not installed (libimage-exiftool-perl)");
    Fixture f = samples();
    Map<String, Map<String, String>> before = new TreeMap<>();
    for (int i = 1; i <= SAMPLES.length; i++) {
      before.put("F_" + i + ".xmp", read("F_" + i + ".xmp"));
    }
    assertThat(f.carry().count(Outcome.WRITTEN)).isEqualTo(5);
    for (Map.Entry<String, Map<String, String>> e : before.entrySet()) {
      Map<String, String> after = read(e.getKey());
      assertThat(after).containsKeys("XMP-slr:Exposure", "XMP-ed:GainStops");
      after.keySet().removeIf(k -> k.startsWith("XMP-slr:") || k.startsWith("XMP-ed:"));
      String date = after.remove("XMP-xmp:MetadataDate");
      assertThat(date).isNotNull();
      e.getValue().remove("XMP-xmp:MetadataDate");
      assertThat(after).as(e.getKey()).isEqualTo(e.getValue());
    }
    Map<String, String> fresh = read("F_4.xmp");
    assertThat(fresh).containsEntry("XMP-slr:StopsToReference", "\"+0.400\"");
    assertThat(fresh.get("XMP-slr:NeedsEyes")).contains("mixed light");
    assertThat(fresh).containsEntry("XMP-ed:GainStops", "\"+0.75\"");
  }
}
