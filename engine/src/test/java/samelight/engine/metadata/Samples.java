package samelight.engine.metadata;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;

/** The photographs among the test resources; ATTRIBUTION.txt beside them says whose they are. */
final class Samples {
  private Samples() {}

  static Path folder() {
    try {
      return Path.of(Objects.requireNonNull(Samples.class.getResource("samples")).toURI());
    } catch (URISyntaxException e) {
      throw new IllegalStateException(e);
    }
  }

  static Path file(String name) {
    return folder().resolve(name);
  }

  static byte[] bytes(String name) {
    try {
      return Files.readAllBytes(file(name));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** All pictures, by name. */
  static List<Path> all() {
    try (Stream<Path> files = Files.list(folder())) {
      return files.filter(p -> !p.toString().endsWith(".txt")).sorted().toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
