package samelight.engine.copies;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.Disk;
import samelight.engine.files.DurableFile;
import samelight.engine.files.ShootLock;
import samelight.engine.files.ShootPaths;

/** One destination: a copied shoot on one drive. Its files come in whole or not at all. */
final class Target implements AutoCloseable {
  /** Files whose folders and log are forced together. */
  private static final int BATCH = 32;

  /** The coarsest file times are those of FAT: two seconds. */
  private static final long FILE_TIME_STEP_MILLIS = 2_000;

  private final Path folder;
  private final Drive drive;
  private final ShootLock lock;
  private final Manifest manifest;
  private final TreeSet<String> toReadBack = new TreeSet<>();
  private final TreeSet<Path> toForce = new TreeSet<>();
  private final List<String> clashes = new ArrayList<>();
  private final List<String> refused = new ArrayList<>();
  private int sinceForce;
  private boolean direct = true;
  private volatile @Nullable String broken;

  Target(ShootPaths shoot, Drive drive, ShootLock lock, Manifest manifest) {
    this.folder = shoot.root();
    this.drive = drive;
    this.lock = lock;
    this.manifest = manifest;
  }

  Path folder() {
    return folder;
  }

  Drive drive() {
    return drive;
  }

  Manifest manifest() {
    return manifest;
  }

  /** Why nothing more can be written here, or null. */
  @Nullable String broken() {
    return broken;
  }

  void breakOff(IOException e) {
    breakOff(DurableFile.reasonOf(e));
  }

  void breakOff(String reason) {
    if (broken == null) {
      broken = reason;
    }
  }

  /** Whether all files were read back past the page cache. */
  synchronized boolean direct() {
    return direct;
  }

  synchronized void indirect() {
    direct = false;
  }

  /** Same name, other bytes: what was kept under another name. */
  synchronized List<String> clashes() {
    return List.copyOf(clashes);
  }

  /** Files that could not be put here, though others can. */
  synchronized List<String> refused() {
    return List.copyOf(refused);
  }

  synchronized void refuse(String file, String reason) {
    refused.add(file + ": " + reason);
  }

  /** Copies of this run and of an interrupted one that weren't read back yet. */
  synchronized List<String> toReadBack() {
    return List.copyOf(toReadBack);
  }

  synchronized void wantReadBack(String path) {
    toReadBack.add(path);
  }

  /** Whether the copy of a record stands there with its size. */
  boolean stands(CopyRecord record) {
    Path file = folder.resolve(record.path());
    try {
      return Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)
          && Files.size(file) == record.size();
    } catch (IOException e) {
      return false;
    }
  }

  /** Whether the copy has another time than it was given, so that it is read back again. */
  boolean touched(CopyRecord record) {
    try {
      long millis = Files.getLastModifiedTime(folder.resolve(record.path())).toMillis();
      return Math.abs(millis - record.modifiedMillis()) > FILE_TIME_STEP_MILLIS;
    } catch (IOException e) {
      return true;
    }
  }

  /** Deletes what an interruption left half. */
  void clearStrays() throws IOException {
    for (Path place : List.of(folder, folder.resolve("samelight"))) {
      try (Stream<Path> files = Files.list(place)) {
        for (Path file : files.toList()) {
          if (DurableFile.isStray(String.valueOf(file.getFileName()))) {
            Files.delete(file);
          }
        }
      }
    }
  }

  /** A new file for bytes to come. */
  Path newTemporary() {
    return DurableFile.newTemporary(folder);
  }

  /**
   * Gives a whole, forced temporary file its name. Where another file has that name it gets the
   * next free one; where that one has the same bytes, the temporary file goes.
   *
   * @param record what it is; its path is the wanted one
   */
  synchronized void publish(Path temporary, CopyRecord record) throws IOException {
    CopyRecord last = record;
    for (int n = 2; ; n++) {
      Path file = folder.resolve(last.path());
      if (!Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
        Path parent = makeFolders(file);
        Files.move(temporary, file, StandardCopyOption.ATOMIC_MOVE);
        toForce.add(parent);
        break;
      }
      if (same(file, last)) {
        Files.delete(temporary);
        break;
      }
      last = withPath(record, numbered(record.path(), n));
    }
    if (!last.path().equals(record.path())) {
      clashes.add(record.path() + " had other bytes; " + record.cardPath() + " is " + last.path());
    }
    manifest.put(last);
    toReadBack.add(last.path());
    if (++sinceForce >= BATCH) {
      settle();
    }
  }

  private boolean same(Path file, CopyRecord record) throws IOException {
    if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)
        || Files.size(file) != record.size()) {
      return false;
    }
    try (ReadBack reader = new ReadBack()) {
      return reader.hash(file, n -> {}).sha256().equals(record.sha256());
    }
  }

  private Path makeFolders(Path file) throws IOException {
    Path parent = file.getParent();
    if (parent == null) {
      throw new IOException("a file needs a folder: " + file);
    }
    for (Path p = parent; p != null && !p.equals(folder); p = p.getParent()) {
      if (Files.isSymbolicLink(p)) {
        throw new IOException(p + " is a link");
      }
      if (!Files.exists(p)) {
        Path above = p.getParent();
        if (above != null) {
          toForce.add(above);
        }
      }
    }
    Files.createDirectories(parent);
    return parent;
  }

  /** Forces folders, then the log, so that the log never knows more than the drive. */
  synchronized void settle() throws IOException {
    for (Path p : toForce) {
      if (Files.isDirectory(p)) {
        Disk.REAL.forceFolder(p);
      }
    }
    toForce.clear();
    sinceForce = 0;
    manifest.force();
  }

  /** Notes that a copy was read back and is right. */
  synchronized void verified(String path, CopyRecord.ReadBackFrom from) throws IOException {
    CopyRecord record = manifest.at(path);
    if (record != null) {
      manifest.put(record.verified(Instant.now(), from));
    }
    toReadBack.remove(path);
  }

  /** Sets a wrong copy aside, so that the next run makes it again. */
  synchronized void setAside(String path, String what) throws IOException {
    Path file = folder.resolve(path);
    if (Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
      int n = 1;
      Path aside = folder.resolve(path + ".damaged");
      while (Files.exists(aside, LinkOption.NOFOLLOW_LINKS)) {
        aside = folder.resolve(path + ".damaged-" + ++n);
      }
      Files.move(file, aside, StandardCopyOption.ATOMIC_MOVE);
    }
    manifest.drop(path);
    manifest.force();
    toReadBack.remove(path);
    refused.add(path + ": " + what);
  }

  /** Forces a temporary file and gives it its time. */
  static void complete(Path temporary, FileChannel channel, long modifiedMillis)
      throws IOException {
    try (channel) {
      channel.force(true);
    }
    Files.setLastModifiedTime(temporary, FileTime.fromMillis(modifiedMillis));
  }

  static FileChannel open(Path temporary) throws IOException {
    return FileChannel.open(temporary, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
  }

  static CopyRecord withPath(CopyRecord r, String path) {
    return new CopyRecord(
        path,
        r.size(),
        r.sha256(),
        r.modifiedMillis(),
        r.card(),
        r.cardPath(),
        r.head(),
        r.body(),
        r.taken(),
        r.copied(),
        r.verified(),
        r.readBack());
  }

  /** {@code a/NAME.EXT} with n as {@code a/NAME-n.EXT}. */
  static String numbered(String path, int n) {
    int dot = path.lastIndexOf('.');
    return dot > path.lastIndexOf('/') + 1
        ? path.substring(0, dot) + "-" + n + path.substring(dot)
        : path + "-" + n;
  }

  @Override
  public void close() throws IOException {
    try (lock) {
      manifest.close();
    }
  }
}
