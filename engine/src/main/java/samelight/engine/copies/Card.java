package samelight.engine.copies;

import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.metadata.NamedKind;

/**
 * What a card holds. Links are not followed.
 *
 * @param root the card's folder, absolute and without links
 * @param label the name of that folder, which is the card's volume name where it is mounted under
 *     it
 * @param files pictures first, then all else, each in the order of their names
 * @param odd what isn't a regular file, and why it is left out
 * @param unreadable files and folders that could not be looked at, and why
 */
record Card(
    Path root, String label, List<CardFile> files, List<String> odd, List<String> unreadable) {
  Card {
    files = List.copyOf(files);
    odd = List.copyOf(odd);
    unreadable = List.copyOf(unreadable);
  }

  /**
   * Lists a card.
   *
   * @throws RefusedInputException if there is no such folder
   */
  static Card list(Path card) {
    try {
      Path root = card.toRealPath();
      if (!Files.isDirectory(root)) {
        throw new RefusedInputException(
            card.toString(), "a card must be a folder", "a file", "Name the card's folder");
      }
      List<CardFile> files = new ArrayList<>();
      List<String> odd = new ArrayList<>();
      List<String> unreadable = new ArrayList<>();
      Files.walkFileTree(root, new Walk(root, files, odd, unreadable));
      files.sort(
          Comparator.comparing((CardFile f) -> f.kind() != NamedKind.PICTURE)
              .thenComparing(CardFile::name));
      Path last = root.getFileName();
      return new Card(root, last == null ? "card" : last.toString(), files, odd, unreadable);
    } catch (IOException e) {
      throw new RefusedInputException(
          card.toString(),
          "a card must be a folder that can be read",
          DurableFile.reasonOf(e),
          "Check the spelling and that the card is in its reader",
          e);
    }
  }

  /** Bytes of all files together. */
  long bytes() {
    return files.stream().mapToLong(CardFile::size).sum();
  }

  private static final class Walk extends SimpleFileVisitor<Path> {
    private final Path root;
    private final List<CardFile> files;
    private final List<String> odd;
    private final List<String> unreadable;

    Walk(Path root, List<CardFile> files, List<String> odd, List<String> unreadable) {
      this.root = root;
      this.files = files;
      this.odd = odd;
      this.unreadable = unreadable;
    }

    private String name(Path file) {
      String name =
          root.relativize(file).toString().replace(file.getFileSystem().getSeparator(), "/");
      try {
        if (root.resolve(name).equals(file)) {
          return name;
        }
      } catch (InvalidPathException e) {
        // as below
      }
      return root.toUri().relativize(file.toUri()).getRawPath();
    }

    @Override
    public FileVisitResult visitFile(Path file, BasicFileAttributes a) {
      String name = name(file);
      if (a.isRegularFile()) {
        files.add(
            new CardFile(
                name, file, a.size(), a.lastModifiedTime().toMillis(), NamedKind.of(name)));
      } else {
        odd.add(
            name
                + ": "
                + (a.isSymbolicLink() ? "a link, not followed" : "neither file nor folder"));
      }
      return FileVisitResult.CONTINUE;
    }

    @Override
    public FileVisitResult visitFileFailed(Path file, IOException e) throws IOException {
      if (file.equals(root)) {
        throw e;
      }
      unreadable.add(name(file) + ": " + DurableFile.reasonOf(e));
      return FileVisitResult.CONTINUE;
    }

    @Override
    public FileVisitResult postVisitDirectory(
        Path folder, @org.jspecify.annotations.Nullable IOException e) {
      if (e != null) {
        unreadable.add(name(folder) + ": " + DurableFile.reasonOf(e));
      }
      return FileVisitResult.CONTINUE;
    }
  }
}
