package samelight.engine.metadata;

import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Finding;

/** Lists a shoot: every file by its path, told apart by name and kind. */
final class ShootFiles {
  /** Our own folder at the top of a shoot. */
  static final String OURS = "samelight";

  private static final Set<String> JPEG = Set.of("jpg", "jpeg", "jpe");
  private static final Set<String> RAW =
      Set.of(
          "cr2", "cr3", "crw", "nef", "nrw", "arw", "sr2", "srf", "raf", "rw2", "rwl", "orf", "ori",
          "pef", "srw", "dng", "mrw", "x3f", "3fr", "fff", "iiq", "erf", "kdc", "dcr", "mos",
          "mef");
  private static final Set<String> RENDERED = Set.of("heic", "heif", "hif", "tif", "tiff");
  private static final Set<String> HEIF = Set.of("heic", "heif", "hif");
  private static final Set<String> VIDEO =
      Set.of("mov", "mp4", "m4v", "avi", "mts", "m2ts", "mxf", "3gp", "mpg", "mpeg", "mkv", "crm");
  private static final Set<String> COMPANION = Set.of("wav", "thm", "lrv", "aae", "mp3", "m4a");

  private ShootFiles() {}

  /** A file under the shoot: one that may be a frame, or another. */
  record Candidate(String name, Path path, long size, long modifiedMillis) {}

  /**
   * What the folders hold.
   *
   * @param files each file's category; a candidate's is {@link Category#UNREADABLE} until it is
   *     read
   * @param candidates in the order of their names
   * @param others the other regular files, in the order of their names
   */
  record Listing(
      SortedMap<String, Category> files,
      List<Candidate> candidates,
      List<Candidate> others,
      List<Finding> findings) {}

  /**
   * The path relative to the shoot with {@code /}; where characters can't hold the bytes of the
   * name, those bytes in percent encoding (RFC 3986), so that two such files are told apart.
   */
  static String name(Path shoot, Path file) {
    String name =
        shoot.relativize(file).toString().replace(file.getFileSystem().getSeparator(), "/");
    return isText(shoot, file, name) ? name : shoot.toUri().relativize(file.toUri()).getRawPath();
  }

  private static boolean isText(Path shoot, Path file, String name) {
    try {
      return shoot.resolve(name).equals(file);
    } catch (InvalidPathException e) {
      return false;
    }
  }

  /** Why a plan that is to work on other systems too couldn't name this file, or null. */
  private static @Nullable String unspeakable(Path shoot, Path file, String name) {
    if (name.indexOf('\\') >= 0) {
      return "a backslash, which elsewhere stands between folders";
    }
    if (name.length() > 1 && name.charAt(1) == ':' && Character.isLetter(name.charAt(0))) {
      return "a letter and a colon at its beginning, which elsewhere is a drive";
    }
    return isText(shoot, file, name) ? null : "bytes that are no text";
  }

  static String extension(String name) {
    int dot = name.lastIndexOf('.');
    return dot <= name.lastIndexOf('/') + 1 ? "" : name.substring(dot + 1).toLowerCase(Locale.ROOT);
  }

  static boolean jpeg(String name) {
    return JPEG.contains(extension(name));
  }

  static boolean raw(String name) {
    return RAW.contains(extension(name));
  }

  /** Whether a file is a camera's rendering: what a raw may be paired with. */
  static boolean rendered(String name) {
    return jpeg(name) || HEIF.contains(extension(name));
  }

  static boolean picture(String name) {
    String e = extension(name);
    // "._NAME" is a Macintosh's note about NAME on a foreign disk (AppleDouble, RFC 1740).
    return (JPEG.contains(e) || RAW.contains(e) || RENDERED.contains(e))
        && !name.substring(name.lastIndexOf('/') + 1).startsWith("._");
  }

  static Category byName(String name) {
    String e = extension(name);
    if (VIDEO.contains(e)) {
      return Category.VIDEO;
    }
    if (COMPANION.contains(e)) {
      return Category.COMPANION;
    }
    return e.equals("xmp") ? Category.SIDECAR : Category.OTHER;
  }

  static Listing list(Path shoot) throws IOException {
    SortedMap<String, Category> files = new TreeMap<>();
    TreeMap<String, Candidate> candidates = new TreeMap<>();
    TreeMap<String, Candidate> others = new TreeMap<>();
    List<Finding> findings = new ArrayList<>();
    Files.walkFileTree(
        shoot,
        new SimpleFileVisitor<>() {
          @Override
          public FileVisitResult preVisitDirectory(Path dir, BasicFileAttributes a) {
            if (dir.equals(shoot)) {
              return FileVisitResult.CONTINUE;
            }
            String name = name(shoot, dir);
            if (name.equals(OURS)) {
              return FileVisitResult.SKIP_SUBTREE;
            }
            if (picture(name)) {
              findings.add(
                  new Finding(
                      name, null, "a picture's name is a file's", "a folder", "looked into it"));
            }
            return FileVisitResult.CONTINUE;
          }

          @Override
          public FileVisitResult visitFile(Path path, BasicFileAttributes a) {
            String name = name(shoot, path);
            if (a.isRegularFile()) {
              String unspeakable = picture(name) ? unspeakable(shoot, path, name) : null;
              if (unspeakable != null) {
                files.put(name, Category.UNREADABLE);
                findings.add(
                    new Finding(
                        name,
                        null,
                        "a path that can be written down for any system",
                        unspeakable,
                        "left out; rename it to have it grouped"));
                return FileVisitResult.CONTINUE;
              }
              Candidate file = new Candidate(name, path, a.size(), a.lastModifiedTime().toMillis());
              files.put(name, picture(name) ? Category.UNREADABLE : byName(name));
              (picture(name) ? candidates : others).put(name, file);
            } else {
              files.put(name, picture(name) ? Category.UNREADABLE : Category.OTHER);
              findings.add(
                  new Finding(
                      name,
                      null,
                      "a regular file",
                      a.isSymbolicLink() ? "a link" : "neither file nor folder",
                      "left out"));
            }
            return FileVisitResult.CONTINUE;
          }

          @Override
          public FileVisitResult visitFileFailed(Path path, IOException e) throws IOException {
            if (path.equals(shoot)) {
              throw new NoSuchShootException(path, FrameReader.describe(e));
            }
            String name = name(shoot, path);
            files.put(name, Category.UNREADABLE);
            findings.add(
                new Finding(
                    name,
                    null,
                    "a file or folder that can be read",
                    FrameReader.describe(e),
                    "left out with all that it holds"));
            return FileVisitResult.CONTINUE;
          }

          @Override
          public FileVisitResult postVisitDirectory(Path dir, @Nullable IOException e) {
            if (e != null) {
              findings.add(
                  new Finding(
                      name(shoot, dir),
                      null,
                      "a folder that can be listed to its end",
                      FrameReader.describe(e),
                      "what was listed is kept"));
            }
            return FileVisitResult.CONTINUE;
          }
        });
    findings.sort(java.util.Comparator.comparing(Finding::file));
    return new Listing(
        files, List.copyOf(candidates.values()), List.copyOf(others.values()), findings);
  }
}
