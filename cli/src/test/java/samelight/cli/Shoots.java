package samelight.cli;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.List;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.stream.Stream;
import samelight.samples.SampleShoot;
import samelight.samples.ShootOptions;

/** Small generated shoots; each is made once and copied. */
final class Shoots {
  private Shoots() {}

  private static final class Mixed {
    static final Path FOLDER = make();

    private static Path make() {
      try {
        Path work = Files.createTempDirectory("samelight-cli-test-");
        Runtime.getRuntime().addShutdownHook(new Thread(() -> delete(work)));
        SampleShoot.write(
            ShootOptions.of(5, 48, ShootOptions.Kind.MIXED).withExtras(true),
            work.resolve("shoot"),
            work.resolve("truth.json"));
        return work.resolve("shoot");
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
  }

  /** A copy of a shoot of 48 frames, raw and JPEG, with pairs, clips and brackets. */
  static Path mixed(Path to) throws IOException {
    copy(Mixed.FOLDER, to);
    return to;
  }

  /** The files of that shoot. */
  static List<Path> mixedFiles() throws IOException {
    try (Stream<Path> files = Files.walk(Mixed.FOLDER)) {
      return files.filter(Files::isRegularFile).sorted().toList();
    }
  }

  static Path mixedFolder() {
    return Mixed.FOLDER;
  }

  static void copy(Path from, Path to) throws IOException {
    try (Stream<Path> files = Files.walk(from)) {
      for (Path file : files.toList()) {
        Path target = to.resolve(from.relativize(file).toString());
        if (Files.isDirectory(file)) {
          Files.createDirectories(target);
        } else {
          Files.copy(file, target, StandardCopyOption.COPY_ATTRIBUTES);
        }
      }
    }
  }

  static void delete(Path folder) {
    try (Stream<Path> files = Files.walk(folder)) {
      for (Path file : files.sorted(java.util.Comparator.reverseOrder()).toList()) {
        Files.delete(file);
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Every file outside {@code samelight/}, with its bytes. */
  static SortedMap<String, List<Byte>> contents(Path shoot) throws IOException {
    SortedMap<String, List<Byte>> contents = new TreeMap<>();
    for (String name : files(shoot)) {
      List<Byte> bytes = new ArrayList<>();
      for (byte b : Files.readAllBytes(shoot.resolve(name))) {
        bytes.add(b);
      }
      contents.put(name, bytes);
    }
    return contents;
  }

  /** Every file outside {@code samelight/}, relative, with {@code /}. */
  static List<String> files(Path shoot) throws IOException {
    try (Stream<Path> files = Files.walk(shoot)) {
      return files
          .filter(Files::isRegularFile)
          .map(f -> shoot.relativize(f).toString().replace('\\', '/'))
          .filter(f -> !f.startsWith("samelight/"))
          .sorted()
          .toList();
    }
  }

  static JsonNode plan(Path shoot) throws IOException {
    return Cli.read(shoot.resolve("samelight/plan.json"));
  }

  static JsonNode frames(Path shoot) throws IOException {
    return Cli.read(shoot.resolve("samelight/frames.json"));
  }

  /** Frames of each group, in the plan's order. */
  static List<List<String>> groups(Path shoot) throws IOException {
    List<List<String>> groups = new ArrayList<>();
    for (JsonNode group : plan(shoot).path("groups")) {
      List<String> frames = new ArrayList<>();
      group.path("frames").forEach(f -> frames.add(f.asText()));
      groups.add(frames);
    }
    return groups;
  }

  /** The group that a frame is in. */
  static JsonNode groupOf(Path shoot, String frame) throws IOException {
    for (JsonNode group : plan(shoot).path("groups")) {
      for (JsonNode f : group.path("frames")) {
        if (f.asText().equals(frame)) {
          return group;
        }
      }
    }
    throw new AssertionError(frame + " is in no group");
  }
}
