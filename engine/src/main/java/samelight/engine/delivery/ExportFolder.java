package samelight.engine.delivery;

import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.metadata.ReadProgress;

/**
 * The exports under a folder.
 *
 * @param heads JPEGs by path
 * @param others paths of all other files
 */
record ExportFolder(List<ExportHead> heads, List<String> others) {
  ExportFolder {
    heads = List.copyOf(heads);
    others = List.copyOf(others);
  }

  /**
   * Lists and reads. Links aren't followed; notes of a Macintosh about a file ({@code ._NAME}, RFC
   * 1740) aren't looked at.
   *
   * @throws RefusedInputException if the folder can't be listed or a path can't be written down
   */
  static ExportFolder read(Path folder, ReadProgress progress) {
    try {
      return list(folder, progress);
    } catch (IOException e) {
      throw new RefusedInputException(
          folder.toString(),
          "must be a folder that can be read",
          DurableFile.reasonOf(e),
          "Check its permissions",
          e);
    }
  }

  private static ExportFolder list(Path folder, ReadProgress progress) throws IOException {
    List<String> names = new ArrayList<>();
    List<String> others = new ArrayList<>();
    Files.walkFileTree(
        folder,
        new SimpleFileVisitor<>() {
          @Override
          public FileVisitResult visitFile(Path file, BasicFileAttributes a) {
            String name =
                folder
                    .relativize(file)
                    .toString()
                    .replace(file.getFileSystem().getSeparator(), "/");
            String last = name.substring(name.lastIndexOf('/') + 1);
            boolean jpeg =
                a.isRegularFile()
                    && last.toLowerCase(Locale.ROOT).matches(".+\\.(jpg|jpeg|jpe)")
                    && !last.startsWith("._");
            (jpeg ? names : others).add(name);
            return FileVisitResult.CONTINUE;
          }
        });
    Collections.sort(names);
    Collections.sort(others);
    for (String name : names) {
      if (name.indexOf('\\') >= 0 || name.indexOf('\uFFFD') >= 0) {
        throw new RefusedInputException(
            folder.resolve(name).toString(),
            "an export's path must be one that other systems can write down",
            "\"" + name + "\"",
            "Rename it");
      }
    }
    return new ExportFolder(
        InParallel.map(names, name -> ExportHead.read(name, folder.resolve(name)), progress),
        others);
  }
}
