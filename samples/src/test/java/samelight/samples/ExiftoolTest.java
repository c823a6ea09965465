package samelight.samples;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assumptions.assumeThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.samples.ShootOptions.Kind;

/** A second, independent reader: exiftool, where it is installed. */
class ExiftoolTest {

  @TempDir Path dir;

  private static String run(String... command) throws IOException, InterruptedException {
    Process p = new ProcessBuilder(command).redirectErrorStream(true).start();
    p.getOutputStream().close();
    String out = new String(p.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    p.waitFor();
    return out;
  }

  private static boolean installed() throws InterruptedException {
    try {
      return !run("exiftool", "-ver").isBlank();
    } catch (IOException e) {
      return false;
    }
  }

  @Test
  void everyFile_isValidAndReadsAsTheTruth() throws Exception {
    assumeThat(installed()).as("exiftool is not installed: second reader skipped").isTrue();
    Path shoot = dir.resolve("shoot");
    SampleShoot.write(
        ShootOptions.of(31, 90, Kind.MIXED).withBodies(3).withExtras(true),
        shoot,
        dir.resolve("truth.json"));
    JsonNode read =
        new ObjectMapper()
            .readTree(
                run(
                    "exiftool",
                    "-j",
                    "-n",
                    "-q",
                    "-r",
                    "-validate",
                    "-warning",
                    "-a",
                    "-Make",
                    "-Model",
                    "-ExifIFD:ExposureTime",
                    "-ExifIFD:FNumber",
                    "-ExifIFD:ISO",
                    "-SubIFD:ImageWidth",
                    "-ThumbnailLength",
                    "-AsShotNeutral",
                    "-ColorMatrix2",
                    "-SubSecTimeOriginal",
                    "-MIMEType",
                    shoot.toString()));
    JsonNode truth = new ObjectMapper().readTree(dir.resolve("truth.json").toFile());
    List<JsonNode> frames = new ArrayList<>();
    truth.get("frames").forEach(frames::add);
    int seen = 0;
    for (JsonNode f : frames) {
      for (JsonNode e : read) {
        if (!e.get("SourceFile").asText().replace('\\', '/').endsWith(f.get("file").asText())) {
          continue;
        }
        seen++;
        assertThat(e.get("Validate").asText()).as(e.toString()).isEqualTo("0 0 0");
        JsonNode body = truth.get("bodies").get(f.get("body").asText());
        assertThat(e.get("Make").asText()).isEqualTo(body.get("make").asText());
        double n = e.get("FNumber").asDouble();
        double t = e.get("ExposureTime").asDouble();
        double ev = Math.log(n * n / t * 100 / e.get("ISO").asDouble()) / Math.log(2);
        assertThat(ev).isCloseTo(f.get("evset").asDouble(), within(0.26));
        if (f.get("file").asText().endsWith(".DNG")) {
          assertThat(e.get("ImageWidth").asInt()).isEqualTo(60);
          assertThat(e.get("AsShotNeutral").asText()).contains(" 1 ");
        } else {
          assertThat(e.get("ThumbnailLength").asInt()).isPositive();
        }
      }
    }
    assertThat(seen).isEqualTo(frames.size());
    List<String> types = new ArrayList<>();
    read.forEach(e -> types.add(e.path("MIMEType").asText()));
    assertThat(types).contains("video/mp4", "audio/x-wav");
  }
}
