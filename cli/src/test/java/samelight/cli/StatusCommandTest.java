package samelight.cli;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.ShrinkingMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import samelight.engine.delivery.DeliveredFile;
import samelight.engine.delivery.Delivery;
import samelight.engine.delivery.DeliveryLog;
import samelight.engine.files.ContentHash;
import samelight.engine.files.ShootPaths;

/** {@code status} and {@code trace}. */
class StatusCommandTest {
  @TempDir Path folder;

  private Path grouped() throws IOException {
    Path shoot = Shoots.mixed(folder.resolve("shoot"));
    Cli.run("group", shoot);
    return shoot;
  }

  private static List<String> frames(Path shoot) throws IOException {
    List<String> frames = new ArrayList<>();
    Shoots.frames(shoot).path("frames").forEach(f -> frames.add(f.path("file").asText()));
    return frames;
  }

  /** Every file with its time and bytes, our own folder too. */
  private static Map<String, String> everything(Path shoot) throws IOException {
    Map<String, String> all = new TreeMap<>();
    try (Stream<Path> files = Files.walk(shoot)) {
      for (Path f : files.toList()) {
        String bytes = Files.isRegularFile(f) ? ContentHash.of(Files.readAllBytes(f)) : "folder";
        all.put(f.toString(), bytes + " " + Files.getLastModifiedTime(f));
      }
    }
    return all;
  }

  private static Map<String, String> lineOf(JsonNode status) {
    Map<String, String> lines = new TreeMap<>();
    status
        .path("files")
        .path("lineOf")
        .properties()
        .forEach(e -> lines.put(e.getKey(), e.getValue().asText()));
    return lines;
  }

  /** Sums of the table, the lines and the folder agree. */
  private static void addsUp(Path shoot, JsonNode status) throws IOException {
    Map<String, String> lines = lineOf(status);
    int sum = 0;
    for (JsonNode n : status.path("files").path("lines")) {
      sum += n.asInt();
    }
    assertThat(sum).isEqualTo(lines.size());
    assertThat(status.path("files").path("total").asInt()).isEqualTo(lines.size());
    Set<String> here = new TreeSet<>(lines.keySet());
    here.removeIf(f -> Set.of("missing", "gone").contains(lines.getOrDefault(f, "")));
    assertThat(here).containsExactlyInAnyOrderElementsOf(Shoots.files(shoot));
    assertThat(status.path("files").path("here").asInt()).isEqualTo(here.size());
    for (String column :
        List.of("frames", "kept", "grouped", "carried", "needEyes", "exported", "delivered")) {
      int all = 0;
      for (JsonNode section : status.path("sections")) {
        all += section.path(column).asInt();
      }
      assertThat(status.path("all").path(column).asInt()).as(column).isEqualTo(all);
    }
  }

  @Test
  void status_neverGrouped_countsTheFilesAndSaysGroup() throws IOException {
    Path shoot = Shoots.mixed(folder.resolve("O'Hara & co"));

    Cli.Result result = Cli.run("status", shoot).is(ExitStatus.ATTENTION);

    assertThat(result.out())
        .contains("pictures not read yet")
        .contains("samelight group '" + folder + "/O'\\''Hara & co'");
    addsUp(shoot, Cli.run("status", shoot, "--json").json());
  }

  @Test
  void status_gradedGroupOfWhichNothingIsKept_countsForNothing() throws IOException {
    Path shoot = grouped();
    for (JsonNode group : Shoots.plan(shoot).path("groups")) {
      Cli.run("grade", shoot.resolve(group.path("reference").asText()), "--ev", "0.5");
    }
    int groups = Shoots.plan(shoot).path("groups").size();
    for (JsonNode frame : Shoots.plan(shoot).path("groups").path(0).path("frames")) {
      Files.writeString(
          shoot.resolve(frame.asText().replaceAll("\\.[^.]*$", ".xmp")),
          """
          <x:xmpmeta xmlns:x="adobe:ns:meta/">
           <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
            <rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmp:Rating="-1"/>
           </rdf:RDF>
          </x:xmpmeta>
          """);
    }

    JsonNode all = Cli.run("status", shoot, "--json").json().path("all");

    assertThat(all.path("groups").asInt()).isEqualTo(groups - 1);
    assertThat(all.path("graded").asInt()).isEqualTo(groups - 1);
  }

  @Test
  void status_fromGroupToGallery_followsTheWork() throws IOException {
    Path shoot = grouped();
    List<String> frames = frames(shoot);
    JsonNode first = Cli.run("status", shoot, "--json").is(ExitStatus.DONE).json();
    addsUp(shoot, first);
    assertThat(first.path("all").path("frames").asInt()).isEqualTo(frames.size());
    assertThat(first.path("all").path("carried").asInt()).isZero();
    assertThat(first.path("nextCommand").asText()).startsWith("samelight pace ");

    for (JsonNode group : Shoots.plan(shoot).path("groups")) {
      Cli.run("grade", shoot.resolve(group.path("reference").asText()), "--ev", "0.5");
    }
    JsonNode graded = Cli.run("status", shoot, "--json").json();
    assertThat(graded.path("nextCommand").asText()).startsWith("samelight carry ");
    assertThat(graded.path("all").path("graded").asInt())
        .isEqualTo(Shoots.plan(shoot).path("groups").size());

    Cli.run("carry", shoot);
    JsonNode carried = Cli.run("status", shoot, "--json").json();
    addsUp(shoot, carried);
    assertThat(carried.path("all").path("carried").asInt())
        .isEqualTo(carried.path("all").path("grouped").asInt());

    Path exports = Files.createDirectory(folder.resolve("exports"));
    List<DeliveredFile> delivered = new ArrayList<>();
    for (int i = 0; i < frames.size(); i++) {
      String name = frames.get(i).replaceAll(".*/|\\.[^.]*$", "") + ".jpg";
      Files.writeString(exports.resolve(name), "export " + i);
      delivered.add(
          new DeliveredFile(
              frames.get(i),
              name,
              "01 Day/" + i + ".jpg",
              ContentHash.of(("g" + i).getBytes(UTF_8))));
    }
    JsonNode exported = Cli.run("status", shoot, "--from", exports, "--json").json();
    addsUp(shoot, exported);
    assertThat(exported.path("all").path("exported").asInt()).isEqualTo(frames.size());
    assertThat(exported.path("nextCommand").asText()).contains("samelight deliver ");

    Path gallery = folder.resolve("gallery");
    Files.createDirectories(gallery.resolve("01 Day"));
    for (int i = 0; i < frames.size(); i++) {
      Files.writeString(gallery.resolve("01 Day/" + i + ".jpg"), "g" + i);
    }
    DeliveryLog.add(
        ShootPaths.of(shoot),
        new Delivery(
            Instant.parse("2027-07-01T10:00:00Z"),
            exports.toString(),
            gallery.toString(),
            Delivery.Kind.WHOLE,
            delivered));
    JsonNode done = Cli.run("status", shoot, "--json").is(ExitStatus.DONE).json();
    addsUp(shoot, done);
    assertThat(done.path("all").path("delivered").asInt()).isEqualTo(frames.size());
    assertThat(done.path("nextCommand").isNull()).isTrue();

    Files.delete(gallery.resolve("01 Day/0.jpg"));
    Files.writeString(gallery.resolve("01 Day/1.jpg"), "changed");
    JsonNode less = Cli.run("status", shoot, "--json").is(ExitStatus.ATTENTION).json();
    assertThat(less.path("all").path("delivered").asInt()).isEqualTo(frames.size() - 1);
    assertThat(less.path("attention").toString()).contains("01 Day/0.jpg");
    assertThat(Cli.run("trace", shoot.resolve(frames.get(0))).is(ExitStatus.ATTENTION).out())
        .contains("NO LONGER THERE");
    assertThat(Cli.run("trace", shoot.resolve(frames.get(1))).is(ExitStatus.ATTENTION).out())
        .contains("OTHER BYTES");
    assertThat(Cli.run("trace", shoot.resolve(frames.get(2))).is(ExitStatus.DONE).out())
        .contains("01 Day/2.jpg in " + gallery)
        .contains("there, bytes as delivered");
    Shoots.delete(gallery);
    assertThat(Cli.run("status", shoot).is(ExitStatus.ATTENTION).out())
        .contains("is not there now")
        .contains("not checked");
  }

  @Test
  void status_copiedFromCards_missesWhatIsLost() throws IOException {
    Path card = Shoots.mixed(folder.resolve("card"));
    Path first = Files.createDirectory(folder.resolve("first"));
    Path second = Files.createDirectory(folder.resolve("second"));
    Cli.run("secure", card, "--to", first, "--to", second, "--name", "garden");
    Path shoot;
    try (Stream<Path> made = Files.list(first)) {
      shoot = made.findFirst().orElseThrow();
    }
    Cli.run("group", shoot);
    JsonNode whole = Cli.run("status", shoot, "--json").is(ExitStatus.DONE).json();
    addsUp(shoot, whole);
    JsonNode count = whole.path("cards").elements().next();
    assertThat(count.path("files").asInt()).isEqualTo(Shoots.files(card).size());
    assertThat(count.path("here").asInt()).isEqualTo(count.path("files").asInt());
    String frame = frames(shoot).get(3);
    JsonNode found = Cli.run("trace", shoot.resolve(frame), "--json").is(ExitStatus.DONE).json();
    assertThat(found.path("copies").path("copies")).hasSize(2);
    for (JsonNode copy : found.path("copies").path("copies")) {
      assertThat(copy.path("state").asText()).isEqualTo("same");
      assertThat(copy.path("sha256").asText())
          .isEqualTo(ContentHash.of(Files.readAllBytes(shoot.resolve(frame))));
    }

    byte[] bytes = Files.readAllBytes(shoot.resolve(frame));
    Files.delete(shoot.resolve(frame));
    Cli.Result lost = Cli.run("status", shoot).is(ExitStatus.ATTENTION);

    assertThat(lost.out()).contains("MISSING").contains(frame).contains("samelight audit ");
    addsUp(shoot, Cli.run("status", shoot, "--json").json());
    assertThat(Cli.run("trace", shoot.resolve(frame)).is(ExitStatus.ATTENTION).out())
        .contains("NOT THERE")
        .contains("same bytes as on the card");
    bytes[bytes.length - 1] ^= 1;
    Files.write(shoot.resolve(frame), bytes);
    assertThat(Cli.run("trace", shoot.resolve(frame)).is(ExitStatus.ATTENTION).out())
        .contains("OTHER BYTES");
  }

  @Test
  void statusAndTrace_anything_changeNothing() throws IOException {
    Path shoot = grouped();
    Cli.run("pace", shoot);
    Map<String, String> before = everything(shoot);

    Cli.run("status", shoot);
    Cli.run("trace", shoot.resolve(frames(shoot).get(0)));

    assertThat(everything(shoot)).isEqualTo(before);
  }

  @Test
  void status_hostileNames_areShownHarmless() throws IOException {
    Path shoot = grouped();
    Files.writeString(shoot.resolve("\u001b[31mred\u0007.JPG"), "x");

    assertThat(Cli.run("status", shoot).is(ExitStatus.ATTENTION).out())
        .contains("<1B>[31mred<7>.JPG")
        .doesNotContain("\u001b");
  }

  @Test
  void status_noSuchFolders_areRefused() throws IOException {
    assertThat(Cli.run("status", folder.resolve("nowhere")).is(ExitStatus.REFUSED).err())
        .contains("nowhere");
    assertThat(
            Cli.run("status", grouped(), "--from", folder.resolve("nothing"))
                .is(ExitStatus.REFUSED)
                .err())
        .contains("nothing");
  }

  @Test
  void trace_noFrame_isRefused() throws IOException {
    Path shoot = grouped();

    assertThat(Cli.run("trace", shoot.resolve("no.JPG")).is(ExitStatus.REFUSED).err())
        .contains("no.JPG");
    assertThat(Cli.run("trace", folder.resolve("elsewhere/no.JPG")).is(ExitStatus.REFUSED).err())
        .contains("samelight group");
  }

  @Test
  void trace_carriedFrame_tellsItsRecipe() throws IOException {
    Path shoot = grouped();
    JsonNode group = Shoots.plan(shoot).path("groups").get(0);
    String reference = group.path("reference").asText();
    Cli.run("grade", shoot.resolve(reference), "--ev", "0.5", "--kelvin", "5000");
    Cli.run("carry", shoot);
    String other = group.path("frames").get(group.path("frames").size() - 1).asText();

    JsonNode trace = Cli.run("trace", shoot.resolve(other), "--json").is(ExitStatus.DONE).json();

    assertThat(trace.path("reference").asText()).isEqualTo(reference);
    assertThat(trace.path("group").asText()).isEqualTo(group.path("id").asText());
    assertThat(trace.path("recipe").path("Reference").asText()).isEqualTo(reference);
    assertThat(trace.path("carriedAt").isNull()).isFalse();
    assertThat(trace.path("copies").path("card").isNull()).isTrue();
    Cli.run("revert", shoot);
    assertThat(Cli.run("trace", shoot.resolve(other), "--json").json().path("carried").asBoolean())
        .isFalse();
  }

  @Provide
  Arbitrary<Set<Path>> someFiles() throws IOException {
    return Arbitraries.of(Shoots.mixedFiles()).set().ofMinSize(1).ofMaxSize(20);
  }

  /** What happens to a folder between two looks at it. */
  @Provide
  Arbitrary<List<Integer>> happenings() {
    return Arbitraries.integers().between(0, 999).list().ofMaxSize(8);
  }

  /** Each file is in one line, whatever happens to the folder after it was read. */
  @Property(tries = 12, shrinking = ShrinkingMode.OFF)
  void status_anyFolder_hasEachFileInOneLine(
      @ForAll("someFiles") Set<Path> files, @ForAll("happenings") List<Integer> happenings)
      throws IOException {
    Path shoot = Files.createTempDirectory("samelight-account-");
    try {
      for (Path file : files) {
        Path to = shoot.resolve(Shoots.mixedFolder().relativize(file).toString());
        Files.createDirectories(to.getParent());
        Files.copy(file, to);
      }
      boolean grouped = Cli.run("group", shoot, "--json").status() != ExitStatus.REFUSED.code();
      Set<String> before = new TreeSet<>(Shoots.files(shoot));
      for (int h : happenings) {
        happen(shoot, h);
      }

      JsonNode status = Cli.run("status", shoot, "--json").json();

      addsUp(shoot, status);
      Set<String> lost = new TreeSet<>(before);
      lost.removeAll(Shoots.files(shoot));
      Map<String, String> lines = lineOf(status);
      for (String file : lost) {
        boolean other = file.endsWith(".xmp") || file.endsWith(".txt");
        assertThat(lines.get(file)).isEqualTo(grouped && !other ? "gone" : null);
      }
    } finally {
      Shoots.delete(shoot);
    }
  }

  private static void happen(Path shoot, int what) throws IOException {
    List<String> files = Shoots.files(shoot);
    String file = files.isEmpty() ? "" : files.get(what % files.size());
    switch (what % 4) {
      case 0 -> Files.writeString(shoot.resolve("new" + what + ".JPG"), "x");
      case 1 -> Files.writeString(shoot.resolve("note" + what + ".txt"), "x");
      case 2 -> {
        if (!file.isEmpty()) {
          Files.delete(shoot.resolve(file));
        }
      }
      default -> {
        if (!file.isEmpty()) {
          Files.setLastModifiedTime(shoot.resolve(file), FileTime.fromMillis(1000L * what));
        }
      }
    }
  }
}
