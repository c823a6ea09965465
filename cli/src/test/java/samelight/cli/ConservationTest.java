package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.ShrinkingMode;

/** No file is lost between the folder, the plan and the recipes. */
class ConservationTest {
  @Provide
  Arbitrary<Set<Path>> someFiles() throws IOException {
    return Arbitraries.of(Shoots.mixedFiles()).set().ofMinSize(1).ofMaxSize(24);
  }

  @Provide
  Arbitrary<Set<String>> strangers() {
    return Arbitraries.of(
            "notes.txt",
            "x.MOV",
            "x.WAV",
            "bad.JPG",
            "bad.DNG",
            "a b.xmp",
            "Ünï.JPG",
            "none",
            ".hid")
        .set()
        .ofMaxSize(5);
  }

  @Property(tries = 12, shrinking = ShrinkingMode.OFF)
  void files_anyFolder_areEachInOnePlaceFromReadingToRecipe(
      @ForAll("someFiles") Set<Path> files, @ForAll("strangers") Set<String> strangers)
      throws IOException {
    Path shoot = Files.createTempDirectory("samelight-conservation-");
    try {
      fill(shoot, files, strangers);
      Cli.Result grouped = Cli.run("group", shoot, "--json");
      if (grouped.status() == ExitStatus.REFUSED.code()) {
        assertThat(grouped.err()).contains("at least one frame");
        return;
      }
      List<String> counted = new ArrayList<>();
      List<String> frames = new ArrayList<>();
      for (JsonNode frame : Shoots.frames(shoot).path("frames")) {
        frames.add(frame.path("file").asText());
      }
      counted.addAll(frames);
      Shoots.frames(shoot).path("others").forEach(o -> counted.add(o.path("file").asText()));
      assertThat(counted).containsExactlyInAnyOrderElementsOf(Shoots.files(shoot));
      assertThat(grouped.json().path("account").path("total").asInt()).isEqualTo(counted.size());

      List<String> planned = new ArrayList<>();
      Shoots.groups(shoot).forEach(planned::addAll);
      Shoots.plan(shoot).path("unmatched").forEach(u -> planned.add(u.path("frame").asText()));
      assertThat(planned).containsExactlyInAnyOrderElementsOf(frames);

      for (JsonNode group : Shoots.plan(shoot).path("groups")) {
        Cli.run("grade", shoot.resolve(group.path("reference").asText()), "--ev", "0.5");
      }
      List<String> carried = new ArrayList<>();
      Cli.run("carry", shoot, "--json")
          .json()
          .path("frames")
          .forEach(f -> carried.add(f.path("frame").asText()));
      assertThat(carried).containsExactlyInAnyOrderElementsOf(frames);
    } finally {
      Shoots.delete(shoot);
    }
  }

  private static void fill(Path shoot, Set<Path> files, Set<String> strangers) throws IOException {
    for (Path file : files) {
      Path to = shoot.resolve(Shoots.mixedFolder().relativize(file).toString());
      Files.createDirectories(to.getParent());
      Files.copy(file, to);
    }
    for (String name : strangers) {
      Files.writeString(shoot.resolve(name), "x");
    }
  }
}
