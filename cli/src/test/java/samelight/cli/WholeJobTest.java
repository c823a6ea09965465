package samelight.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.samples.SampleExports;
import samelight.samples.SampleExports.Mishap;

/** From cards to the gallery on one small day, with what goes wrong on the way. */
class WholeJobTest {
  @TempDir Path folder;

  private static SortedMap<String, String> hashes(Path top) throws Exception {
    SortedMap<String, String> out = new TreeMap<>();
    try (Stream<Path> files = Files.walk(top)) {
      for (Path f : files.filter(Files::isRegularFile).toList()) {
        byte[] hash = MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(f));
        out.put(top.relativize(f).toString().replace('\\', '/'), HexFormat.of().formatHex(hash));
      }
    }
    return out;
  }

  private static List<String> grouped(Path shoot) throws IOException {
    List<String> frames = new ArrayList<>();
    Shoots.groups(shoot).forEach(frames::addAll);
    return frames;
  }

  @Test
  void cards_becomeTheGallery_andEveryFileIsAccountedFor() throws Exception {
    Path cards = Shoots.mixed(folder.resolve("cards"));
    SortedMap<String, String> onCards = hashes(cards);
    Path drive = Files.createDirectory(folder.resolve("drive"));
    Path second = Files.createDirectory(folder.resolve("second"));

    int secured =
        Cli.run("secure", cards, "--to", drive, "--to", second, "--name", "garden").status();
    assertThat(secured).isIn(0, 1); // two folders on one drive need attention
    Path shoot;
    try (Stream<Path> made = Files.list(drive)) {
      shoot = made.toList().get(0);
    }
    assertThat(new HashSet<>(hashes(shoot).values())).containsAll(onCards.values());

    Cli.run("group", shoot);
    Cli.run("keepers", shoot, "--keep", "2");
    for (JsonNode group : Shoots.plan(shoot).path("groups")) {
      Cli.run("grade", shoot.resolve(group.path("reference").asText()), "--ev", "0.35");
    }
    Cli.run("carry", shoot, "--yes");
    String left = grouped(shoot).get(2);
    Cli.run("leave-out", shoot.resolve(left)).is(ExitStatus.DONE);

    Set<String> out = new HashSet<>();
    Shoots.plan(shoot)
        .at("/decisions/keepers/takes")
        .forEach(
            t -> {
              if (!t.path("keep").asBoolean()) {
                out.add(t.path("frame").asText());
              }
            });
    List<String> kept = new ArrayList<>(grouped(shoot));
    kept.removeAll(out);
    assertThat(kept).hasSizeGreaterThan(20).doesNotContain(left);
    Map<String, Set<Mishap>> mishaps = SampleExports.asTheyCome(kept);
    Path exports = folder.resolve("exports");
    Map<String, List<String>> exported = SampleExports.write(shoot, kept, exports, mishaps);
    SortedMap<String, String> exportsBefore = hashes(exports);

    Path gallery = folder.resolve("gallery");
    JsonNode stopped =
        Cli.run("deliver", shoot, "--from", exports, "--to", gallery, "--json")
            .is(ExitStatus.ATTENTION)
            .json();
    assertThat(stopped.path("written").asBoolean()).isFalse();
    assertThat(gallery).doesNotExist();
    List<String> kinds = new ArrayList<>();
    stopped.path("findings").forEach(f -> kinds.add(f.path("kind").asText()));
    assertThat(kinds).containsExactly("missing", "doubled");

    // mended as the list says: exported, and one of the two taken away
    String missing = stopped.path("findings").get(0).path("file").asText();
    exported.putAll(SampleExports.write(shoot, List.of(missing), exports, Map.of()));
    String again = stopped.path("findings").get(1).path("file").asText();
    Files.delete(exports.resolve(Objects.requireNonNull(exported.get(again)).get(1)));
    exported.put(again, Objects.requireNonNull(exported.get(again)).subList(0, 1));
    JsonNode done =
        Cli.run("deliver", shoot, "--from", exports, "--to", gallery, "--json")
            .is(ExitStatus.DONE)
            .json();

    // every export is in one picture, every kept frame in at least one
    Map<String, List<String>> delivered = new TreeMap<>();
    for (JsonNode f : done.path("files")) {
      delivered
          .computeIfAbsent(f.path("frame").asText(), k -> new ArrayList<>())
          .add(f.path("export").asText());
    }
    delivered.values().forEach(java.util.Collections::sort);
    Map<String, List<String>> expected = new TreeMap<>();
    exported.forEach((frame, files) -> expected.put(frame, files.stream().sorted().toList()));
    assertThat(delivered).isEqualTo(expected);

    // the lists agree with the disk
    SortedMap<String, String> disk = hashes(gallery);
    for (String line : Files.readAllLines(gallery.resolve("SHA256SUMS"))) {
      assertThat(disk).containsEntry(line.substring(66), line.substring(0, 64));
    }
    assertThat(Files.readAllLines(gallery.resolve("manifest.csv")))
        .hasSize(done.path("files").size() + 1);

    // where the job stands, by the same rule as the delivery: brackets aren't missed
    JsonNode status = Cli.run("status", shoot, "--json").json();
    assertThat(status.path("all").path("delivered").asInt()).isEqualTo(delivered.size());
    assertThat(status.path("nextCommand").isNull()).as(status.path("next").asText()).isTrue();

    // nothing on the cards, in the copies or among the exports was touched
    assertThat(hashes(cards)).isEqualTo(onCards);
    assertThat(new HashSet<>(hashes(shoot).values())).containsAll(onCards.values());
    SortedMap<String, String> exportsAfter = hashes(exports);
    exportsBefore.forEach(
        (name, hash) -> assertThat(exportsAfter.getOrDefault(name, hash)).isEqualTo(hash));
    Cli.run("audit", shoot);
  }
}
