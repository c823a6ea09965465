package samelight.engine.sidecar;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicInteger;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.CouldNotWriteException;
import samelight.engine.files.Disk;
import samelight.engine.files.DurableFile;
import samelight.engine.files.Parallel;
import samelight.engine.files.ShootPaths;

/**
 * Many sidecars as one unit, batch by batch: old content into the journal and forced, then each
 * sidecar by temporary file, force and rename, then each folder forced once, at last the end of the
 * journal. One force for each sidecar, and a few for each batch.
 */
final class SidecarTransaction {
  /**
   * One change.
   *
   * @param sidecar path relative to the shoot, without links
   * @param target the same as an absolute path
   * @param before content that was read, or null where there was none
   * @param after new content, or null to remove
   * @param carried what is carried, or null in a revert
   * @param undoes ids of the carries that a revert undoes, else null
   */
  @SuppressWarnings("ArrayRecordComponent") // moved through once, never compared
  record Change(
      String sidecar,
      Path target,
      byte @Nullable [] before,
      byte @Nullable [] after,
      @Nullable LastCarried carried,
      @Nullable List<String> undoes) {}

  /** What became of a change. */
  enum Fate {
    WRITTEN,
    CHANGED_MEANWHILE,
    COULD_NOT_WRITE
  }

  /** What became of a change, and why in words. */
  record Done(Fate fate, String detail) {}

  private final ShootPaths shoot;
  private final Disk disk;
  private final Journal.Kind kind;
  private final List<EditMap> maps;
  private final Instant at;
  private final Progress progress;
  private final int total;
  private final AtomicInteger count = new AtomicInteger();
  private final List<String> skipped = new ArrayList<>();
  private @Nullable Path journal;

  SidecarTransaction(
      ShootPaths shoot,
      Disk disk,
      Journal.Kind kind,
      List<EditMap> maps,
      Instant at,
      Progress progress,
      int total) {
    this.shoot = shoot;
    this.disk = disk;
    this.kind = kind;
    this.maps = maps;
    this.at = at;
    this.progress = progress;
    this.total = total;
  }

  /** Id of the journal; null while nothing has been written. */
  @Nullable String id() {
    return journal == null ? null : JournalStore.id(journal);
  }

  /**
   * Writes a batch.
   *
   * @return what became of each change, in order
   * @throws CouldNotWriteException if the device is full, gone or broken; everything that this
   *     transaction wrote is rolled back then, or will be by the next command
   */
  List<Done> write(List<Change> changes) {
    if (changes.isEmpty()) {
      return List.of();
    }
    Path where = changes.get(0).target();
    try {
      remember(changes);
      List<Done> done = Parallel.map(changes, Parallel.WRITERS, this::write);
      Set<Path> folders = new TreeSet<>();
      for (int i = 0; i < changes.size(); i++) {
        if (done.get(i).fate() == Fate.WRITTEN) {
          folders.add(folder(changes.get(i).target()));
        } else {
          skipped.add(changes.get(i).sidecar());
        }
      }
      for (Path folder : folders) {
        where = folder;
        disk.forceFolder(folder);
      }
      return done;
    } catch (FatalException e) {
      throw rollBack(e.target, e.problem);
    } catch (IOException e) {
      throw rollBack(where, e);
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException(e);
    }
  }

  /** Writes the end of the journal, and deletes old journals. */
  void finish() {
    if (journal == null) {
      return;
    }
    try {
      disk.append(journal, Journal.done(skipped, false));
    } catch (IOException e) {
      throw rollBack(journal, e);
    }
    try {
      new JournalStore(shoot).prune(disk);
    } catch (IOException e) {
      // an old journal that can't be deleted now is deleted after the next carry
    }
  }

  private void remember(List<Change> changes) throws IOException {
    List<Journal.Entry> entries;
    try {
      entries = Parallel.map(changes, Parallel.CORES, SidecarTransaction::entry);
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException(e);
    }
    if (journal != null) {
      disk.append(journal, Journal.batch(new byte[0], entries));
      return;
    }
    JournalStore store = new JournalStore(shoot);
    Path folder = store.folder();
    boolean fresh = !Files.exists(folder);
    disk.makeFolders(folder);
    Path file = store.next();
    byte[] header = Journal.header(JournalStore.id(file), kind, at, maps);
    byte[] all = Journal.batch(header, entries);
    journal = file;
    disk.append(file, all);
    disk.forceFolder(folder);
    if (fresh) {
      disk.forceFolder(shoot.own());
      disk.forceFolder(shoot.root());
    }
  }

  private static Journal.Entry entry(Change c) {
    return new Journal.Entry(
        c.sidecar(),
        c.before() == null ? null : Journal.Before.of(c.before()),
        c.after() == null ? null : ContentHash.of(c.after()),
        c.carried(),
        c.undoes(),
        c.before() == null ? null : saved(c.target()));
  }

  /** When a sidecar was saved last; null where the system doesn't tell. */
  private static @Nullable String saved(Path sidecar) {
    try {
      return Files.getLastModifiedTime(sidecar).toInstant().toString();
    } catch (IOException | java.time.DateTimeException e) {
      return null; // only an estimate of times is poorer for it
    }
  }

  private Done write(Change c) throws FatalException {
    Done done;
    try {
      done = replace(disk, c);
    } catch (AccessDeniedException e) {
      done = new Done(Fate.COULD_NOT_WRITE, "access denied, or held open by another program");
    } catch (IOException e) {
      if (!tooLong(e)) {
        throw new FatalException(c.target(), e);
      }
      done = new Done(Fate.COULD_NOT_WRITE, "its name is too long for this drive");
    }
    synchronized (count) {
      progress.at(count.incrementAndGet(), total);
    }
    return done;
  }

  private static boolean tooLong(IOException e) {
    return e instanceof FileSystemException f && String.valueOf(f.getReason()).contains("too long");
  }

  /** Replaces or removes one sidecar if it is still what was read. */
  static Done replace(Disk disk, Change c) throws IOException {
    byte[] after = c.after();
    if (java.util.Arrays.equals(c.before(), after)) {
      return new Done(Fate.WRITTEN, "");
    }
    Path temp = after == null ? null : DurableFile.stage(disk, c.target(), after);
    byte[] now;
    try {
      now = SidecarFile.read(c.target());
    } catch (XmpRefusedException e) {
      now = new byte[0];
    }
    boolean same = now == null ? c.before() == null : java.util.Arrays.equals(now, c.before());
    if (!same) {
      if (temp != null) {
        disk.delete(temp);
      }
      return new Done(
          Fate.CHANGED_MEANWHILE, now == null ? "it was removed" : "its content changed");
    }
    if (temp == null) {
      DurableFile.delete(disk, c.target());
    } else {
      DurableFile.publish(disk, temp, c.target());
    }
    return new Done(Fate.WRITTEN, "");
  }

  private CouldNotWriteException rollBack(Path where, IOException problem) {
    CouldNotWriteException told = DurableFile.couldNotWrite(where, problem);
    String outcome;
    try {
      if (journal != null && Files.exists(journal)) {
        Recovery.rollBack(shoot, disk, journal);
      }
      outcome = "Nothing was changed. ";
    } catch (IOException | RuntimeException e) {
      problem.addSuppressed(e);
      outcome =
          "What was already written is in the journal; the next command will bring back the old"
              + " content first. ";
    }
    return new CouldNotWriteException(
        told.file(), told.rule(), told.actual(), outcome + told.next(), problem);
  }

  private static Path folder(Path file) {
    return Objects.requireNonNull(file.getParent());
  }

  private static final class FatalException extends Exception {
    final transient Path target;
    final IOException problem;

    FatalException(Path target, IOException problem) {
      super(problem);
      this.target = target;
      this.problem = problem;
    }
  }
}
