package samelight.engine.sidecar;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.Disk;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;

/** Brings back old content from journals. */
final class Recovery {
  private Recovery() {}

  /** Rolls back every unfinished journal, newest first, and clears temporary files. */
  static RevertResult run(ShootPaths shoot, Disk disk) {
    List<String> carries = new ArrayList<>();
    List<RevertResult.Entry> entries = new ArrayList<>();
    List<String> strays = new ArrayList<>();
    Path folder = shoot.own();
    try {
      clearStrays(shoot, disk, folder, strays);
      for (Path file : new JournalStore(shoot).unfinished()) {
        folder = file;
        Journal journal = Journal.read(file);
        List<RevertResult.Entry> done = rollBack(shoot, disk, file, journal, strays);
        if (journal != null && journal.kind == Journal.Kind.CARRY && !done.isEmpty()) {
          carries.add(journal.id);
          entries.addAll(done);
        }
      }
    } catch (IOException e) {
      throw DurableFile.couldNotWrite(folder, e);
    }
    return new RevertResult(carries, entries, strays);
  }

  /** Rolls back one unfinished journal and marks it so. */
  static void rollBack(ShootPaths shoot, Disk disk, Path file) throws IOException {
    rollBack(shoot, disk, file, Journal.read(file), new ArrayList<>());
  }

  private static List<RevertResult.Entry> rollBack(
      ShootPaths shoot, Disk disk, Path file, @Nullable Journal journal, List<String> strays)
      throws IOException {
    if (journal == null || journal.entries.isEmpty()) {
      disk.delete(file); // the power failed before anything was written under it
      return List.of();
    }
    List<RevertResult.Entry> done = new ArrayList<>();
    Set<Path> folders = new TreeSet<>();
    List<Journal.Entry> newFirst = new ArrayList<>(journal.entries);
    newFirst.sort(
        Comparator.comparing(e -> e.before() != null)); // removing makes room on a full disk
    for (Journal.Entry e : newFirst) {
      RevertResult.Entry r = restore(shoot, disk, e, e.after(), false);
      done.add(r);
      if (r.what() != RevertResult.What.REFUSED) {
        folders.add(Objects.requireNonNull(shoot.resolve(e.sidecar()).getParent()));
      }
    }
    for (Path folder : folders) {
      clearStrays(shoot, disk, folder, strays);
      if (Files.exists(folder)) {
        disk.forceFolder(folder);
      }
    }
    if (done.stream().noneMatch(r -> r.what() == RevertResult.What.COULD_NOT_WRITE)) {
      byte[] end = Journal.done(List.of(), true);
      if (endsWhole(file)) {
        disk.append(file, end);
      } else {
        DurableFile.write(disk, file, wholeLines(file, end));
      }
    }
    return done;
  }

  private static boolean endsWhole(Path file) throws IOException {
    long size = Files.size(file);
    try (var in = new java.io.RandomAccessFile(file.toFile(), "r")) {
      in.seek(size - 1);
      return in.read() == '\n';
    }
  }

  /** The file without the half line at its end, and one more line. */
  private static byte[] wholeLines(Path file, byte[] end) throws IOException {
    byte[] all = Files.readAllBytes(file);
    int length = all.length;
    while (length > 0 && all[length - 1] != '\n') {
      length--;
    }
    byte[] whole = java.util.Arrays.copyOf(all, length + end.length);
    System.arraycopy(end, 0, whole, length, end.length);
    return whole;
  }

  /**
   * Brings one sidecar back.
   *
   * @param expected hash of the content that is expected now, or null for none
   * @param force whether to bring it back even where the content is another
   */
  static RevertResult.Entry restore(
      ShootPaths shoot, Disk disk, Journal.Entry e, @Nullable String expected, boolean force)
      throws IOException {
    String path = e.sidecar();
    Path target;
    byte[] old;
    try {
      target = target(shoot, path);
      old = e.before() == null ? null : e.before().bytes();
    } catch (RefusedInputException | IOException | IllegalArgumentException problem) {
      return entry(path, RevertResult.What.REFUSED, String.valueOf(problem.getMessage()));
    }
    try {
      byte[] now = SidecarFile.read(target);
      String hash = now == null ? null : ContentHash.of(now);
      String before = e.before() == null ? null : e.before().sha256();
      if (Objects.equals(hash, before)) {
        return entry(path, RevertResult.What.ALREADY, "");
      }
      if (!Objects.equals(hash, expected) && !force) {
        return entry(
            path,
            RevertResult.What.TOUCHED_SINCE,
            now == null ? "removed since" : "changed since by a person or program");
      }
      if (old == null) {
        DurableFile.delete(disk, target);
        return entry(path, RevertResult.What.REMOVED, "");
      }
      DurableFile.publish(disk, DurableFile.stage(disk, target, old), target);
      return entry(path, RevertResult.What.RESTORED, "");
    } catch (XmpRefusedException problem) {
      return entry(path, RevertResult.What.TOUCHED_SINCE, String.valueOf(problem.getMessage()));
    } catch (AccessDeniedException problem) {
      return entry(
          path,
          RevertResult.What.COULD_NOT_WRITE,
          "access denied, or held open by another program");
    }
  }

  /**
   * The file of a path that a journal names.
   *
   * @throws RefusedInputException if it is not a plain path of a sidecar inside the shoot, or
   *     passes through a link
   */
  static Path target(ShootPaths shoot, String path) {
    if (!SidecarFile.named(path)) {
      throw new RefusedInputException(
          path,
          "must end in .xmp",
          "\"" + path + "\"",
          "Journals are not to be edited: move samelight/journal away if it can't be restored");
    }
    return shoot.resolve(path);
  }

  static RevertResult.Entry entry(String path, RevertResult.What what, String detail) {
    return new RevertResult.Entry(path, what, detail);
  }

  /** Deletes temporary files of ours in a folder. */
  static void clearStrays(ShootPaths shoot, Disk disk, Path folder, List<String> strays)
      throws IOException {
    if (!Files.isDirectory(folder)) {
      return;
    }
    List<Path> found = new ArrayList<>();
    try (DirectoryStream<Path> entries = Files.newDirectoryStream(folder)) {
      for (Path p : entries) {
        if (DurableFile.isStray(String.valueOf(p.getFileName()))
            && Files.isRegularFile(p, LinkOption.NOFOLLOW_LINKS)) {
          found.add(p);
        }
      }
    } catch (java.nio.file.DirectoryIteratorException e) {
      throw e.getCause();
    }
    for (Path p : found) {
      disk.delete(p);
      strays.add(shoot.relative(p));
    }
  }
}
