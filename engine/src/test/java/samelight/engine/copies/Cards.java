package samelight.engine.copies;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.List;
import java.util.Objects;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.Stream;
import samelight.engine.files.ContentHash;

/** Cards for tests: real camera files of the test resources, each made different at its end. */
final class Cards {
  /** Of a body with a serial number. */
  static final String ONE = "Canon_Issue_122.jpg";

  /** Of another. */
  static final String OTHER = "Nikon_D70.jpg";

  private Cards() {}

  static byte[] picture(String sample, int seed, int more) {
    try (InputStream in =
        Objects.requireNonNull(
            Cards.class.getResourceAsStream("/samelight/engine/metadata/samples/" + sample))) {
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      out.writeBytes(in.readAllBytes());
      byte[] tail = new byte[more];
      new Random(seed).nextBytes(tail);
      out.writeBytes(tail);
      return out.toByteArray();
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  /** A card with so many pictures of one body, numbered from {@code first}. */
  static Path card(Path folder, String sample, int first, int count, int more) {
    for (int i = 0; i < count; i++) {
      put(
          folder,
          String.format("DCIM/100TERNA/TERN%04d.JPG", first + i),
          picture(sample, first + i, more));
    }
    return folder;
  }

  static void put(Path card, String name, byte[] bytes) {
    try {
      Path file = card.resolve(name);
      Files.createDirectories(Objects.requireNonNull(file.getParent()));
      Files.write(file, bytes);
      Files.setLastModifiedTime(
          file, FileTime.fromMillis(1_750_000_000_000L + 1000L * Math.abs(name.hashCode() % 1000)));
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  /** Each file and folder with its size, time and content: what must not change. */
  static java.util.SortedMap<String, String> snapshot(Path folder) {
    TreeMap<String, String> out = new TreeMap<>();
    try (Stream<Path> files = Files.walk(folder)) {
      for (Path p : files.toList()) {
        FileTime time = Files.getLastModifiedTime(p, LinkOption.NOFOLLOW_LINKS);
        boolean file = Files.isRegularFile(p, LinkOption.NOFOLLOW_LINKS);
        out.put(
            folder.relativize(p).toString(),
            time + (file ? " " + ContentHash.of(Files.readAllBytes(p)) : ""));
      }
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
    return out;
  }

  /** Drives by the first folder below {@code root}. */
  static SecureRequest.DriveFinder drives(Path root) throws IOException {
    Path real = root.toRealPath();
    return folder -> {
      String first = real.relativize(folder.toRealPath()).getName(0).toString();
      return new Drive(first, "drive " + first);
    };
  }

  static SecureResult secure(Path root, Path card, String... to) throws IOException {
    return Secure.run(request(root, List.of(card), to), CopyProgress.NONE);
  }

  static SecureRequest request(Path root, List<Path> cards, String... to) throws IOException {
    List<Path> destinations = Stream.of(to).map(root::resolve).toList();
    for (Path p : destinations) {
      Files.createDirectories(p);
    }
    return new SecureRequest(cards, null, destinations, "garden", drives(root));
  }

  static AuditResult audit(Path root, Path folder) throws IOException {
    return Audit.run(List.of(folder), drives(root), CopyProgress.NONE);
  }
}
