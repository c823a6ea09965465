package samelight.cli;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.frame.Frame;

/**
 * Frames by what a person calls them: their path, absolute or in the shoot, their file name, or
 * their stem where only one frame has it.
 */
final class FrameNames {
  private static final int MOST_LINES = 1_000_000;

  private final Path shoot;
  private final Map<String, List<String>> byName = new HashMap<>();

  FrameNames(Path shoot, List<Frame> frames) {
    this.shoot = shoot;
    for (Frame f : frames) {
      add(f.file(), f.file());
      add(f.file().substring(f.file().lastIndexOf('/') + 1), f.file());
      add(f.stem(), f.file());
      String paired = f.paired();
      if (paired != null) {
        add(paired, f.file());
      }
    }
  }

  private void add(String name, String file) {
    List<String> files =
        byName.computeIfAbsent(name.toLowerCase(Locale.ROOT), n -> new ArrayList<>());
    if (!files.contains(file)) {
      files.add(file);
    }
  }

  /** The frame of a name, or empty where there is none or more than one. */
  Optional<String> find(String name) {
    List<String> found = get(name.replace('\\', '/'));
    if (found.isEmpty()) {
      found = get(inShoot(name));
    }
    if (found.isEmpty() && name.lastIndexOf('.') > 0) {
      found = get(name.substring(0, name.lastIndexOf('.')));
    }
    return found.size() == 1 ? Optional.of(found.get(0)) : Optional.empty();
  }

  private List<String> get(String name) {
    return byName.getOrDefault(name.toLowerCase(Locale.ROOT), List.of());
  }

  private String inShoot(String name) {
    try {
      Path path = Path.of(name).toAbsolutePath().normalize();
      Path parent = path.getParent();
      Path last = path.getFileName();
      if (parent == null || last == null || !Files.isDirectory(parent)) {
        return "";
      }
      Path real = parent.toRealPath().resolve(last);
      return real.startsWith(shoot)
          ? shoot.relativize(real).toString().replace(java.io.File.separatorChar, '/')
          : "";
    } catch (IOException | InvalidPathException e) {
      return "";
    }
  }

  /**
   * The frames that a text file names, a line each; empty lines and those that begin with {@code #}
   * don't count.
   *
   * @throws RefusedInputException if it can't be read, or a line names no frame or several
   */
  List<String> list(Path file) {
    List<String> frames = new ArrayList<>();
    try {
      List<String> lines = Files.readAllLines(file, StandardCharsets.UTF_8);
      for (int i = 0; i < Math.min(MOST_LINES, lines.size()); i++) {
        String line = lines.get(i).strip();
        int number = i + 1;
        if (!line.isEmpty() && !line.startsWith("#")) {
          frames.add(
              find(line)
                  .orElseThrow(
                      () ->
                          new RefusedInputException(
                              file + ", line " + number,
                              "must name one frame of the shoot",
                              "\"" + line + "\"",
                              "Give its path in the shoot")));
        }
      }
      return frames;
    } catch (IOException e) {
      throw new RefusedInputException(
          file.toString(),
          "must be a text file in UTF-8 that can be read",
          DurableFile.reasonOf(e),
          "Check the spelling",
          e);
    }
  }
}
