package samelight.engine.files;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;

/**
 * Paths of one shoot. A path that comes from a file (plan, journal) or from the command line is
 * turned into a real one here and nowhere else.
 */
public final class ShootPaths {
  private final Path root;

  private ShootPaths(Path root) {
    this.root = root;
  }

  /**
   * The paths of a shoot.
   *
   * @param shoot the shoot's folder; a link to it is followed
   * @throws RefusedInputException if there is no such folder
   */
  public static ShootPaths of(Path shoot) {
    try {
      Path real = shoot.toRealPath();
      if (!Files.isDirectory(real)) {
        throw new RefusedInputException(
            shoot.toString(), "must be a folder", "a file", "Name the shoot's folder");
      }
      return new ShootPaths(real);
    } catch (IOException e) {
      throw new RefusedInputException(
          shoot.toString(),
          "must be a folder that can be read",
          DurableFile.reasonOf(e),
          "Check the spelling and that the drive is there",
          e);
    }
  }

  /** The shoot's folder, absolute and without links. */
  public Path root() {
    return root;
  }

  /** The shoot's name: its folder's. */
  public String name() {
    Path name = root.getFileName();
    return name == null ? "shoot" : name.toString();
  }

  /** The visible folder {@code samelight/} in which the tool keeps its own files. */
  public Path own() {
    return root.resolve("samelight");
  }

  /**
   * Resolves a path that must stay inside the shoot without passing through any link.
   *
   * @param relative path relative to the shoot with {@code /}; the file need not exist
   * @return the absolute path
   * @throws RefusedInputException if it is empty, absolute, not normal, leaves the shoot, or if it
   *     or a folder on the way is a link
   */
  public Path resolve(String relative) {
    Path path = lexical(relative);
    Path step = root;
    for (Path name : root.relativize(path)) {
      step = step.resolve(name);
      if (Files.isSymbolicLink(step)) {
        throw refused(relative, "a link at " + relativeOf(step));
      }
    }
    return path;
  }

  /**
   * Resolves a path whose links are followed as long as they stay inside the shoot.
   *
   * @param relative path relative to the shoot with {@code /}; the file need not exist
   * @return the absolute path with every link resolved
   * @throws RefusedInputException if it is empty, absolute, not normal, or leads out of the shoot
   */
  public Path resolveFollowing(String relative) {
    Path path = lexical(relative);
    try {
      Path real;
      if (Files.exists(path)) {
        real = path.toRealPath();
      } else if (Files.isSymbolicLink(path)) {
        throw refused(relative, "a link to nothing");
      } else {
        Path folder = path.getParent();
        Path name = path.getFileName();
        real =
            folder == null || name == null || !Files.exists(folder)
                ? path
                : folder.toRealPath().resolve(name);
      }
      if (!real.startsWith(root) || real.equals(root)) {
        throw refused(relative, "a link that leads to " + real);
      }
      return real;
    } catch (IOException e) {
      throw new RefusedInputException(
          relative,
          "must be a path that can be followed",
          DurableFile.reasonOf(e),
          "Check the folders' permissions and that the drive is there",
          e);
    }
  }

  /**
   * The path relative to the shoot, with {@code /}.
   *
   * @param path an absolute path
   * @throws RefusedInputException if it is outside the shoot
   */
  public String relative(Path path) {
    Path absolute = path.toAbsolutePath().normalize();
    if (!absolute.startsWith(root) || absolute.equals(root)) {
      throw refused(path.toString(), "a path outside " + root);
    }
    return relativeOf(absolute);
  }

  private String relativeOf(Path path) {
    return root.relativize(path).toString().replace(java.io.File.separatorChar, '/');
  }

  private Path lexical(String relative) {
    if (relative.isEmpty() || relative.startsWith("/") || relative.contains("\\")) {
      throw refused(relative, relative.isEmpty() ? "an empty path" : "\"" + relative + "\"");
    }
    for (String name : relative.split("/", -1)) {
      if (name.isEmpty() || name.equals(".") || name.equals("..")) {
        throw refused(relative, "\"" + relative + "\"");
      }
    }
    Path path;
    try {
      Path given = root.getFileSystem().getPath(relative);
      if (given.isAbsolute() || given.getRoot() != null) {
        throw refused(relative, "an absolute path");
      }
      path = root.resolve(given);
    } catch (InvalidPathException e) {
      throw refused(relative, "a name this system does not allow (" + e.getReason() + ")");
    }
    if (!path.equals(path.normalize()) || !path.startsWith(root)) {
      throw refused(relative, "\"" + relative + "\"");
    }
    return path;
  }

  private static RefusedInputException refused(String path, String actual) {
    return new RefusedInputException(
        path,
        "must be a plain path inside the shoot, relative to it, with '/' and without links",
        actual,
        actual.startsWith("a link")
            ? "Put the file or folder itself in the link's place, or take the link away"
            : "Mend the path where it stands");
  }
}
