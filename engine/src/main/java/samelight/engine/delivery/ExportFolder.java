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
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import samelight.engine.files.DurableFile;
import samelight.engine.files.NamedThreads;
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
    List<String> names = new ArrayList<>();
    List<String> others = new ArrayList<>();
    try {
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
    } catch (IOException e) {
      throw new RefusedInputException(
          folder.toString(),
          "must be a folder that can be read",
          DurableFile.reasonOf(e),
          "Check its permissions",
          e);
    }
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
    return new ExportFolder(heads(folder, names, progress), others);
  }

  private static List<ExportHead> heads(Path folder, List<String> names, ReadProgress progress) {
    ExecutorService readers =
        NamedThreads.several("exports", Runtime.getRuntime().availableProcessors());
    try {
      List<Future<ExportHead>> pending = new ArrayList<>();
      for (String name : names) {
        pending.add(readers.submit(() -> ExportHead.read(name, folder.resolve(name))));
      }
      List<ExportHead> heads = new ArrayList<>();
      for (Future<ExportHead> f : pending) {
        heads.add(f.get());
        progress.read(heads.size(), names.size());
      }
      return heads;
    } catch (ExecutionException e) {
      throw new IllegalStateException(e.getCause());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(e);
    } finally {
      readers.shutdownNow();
    }
  }
}
