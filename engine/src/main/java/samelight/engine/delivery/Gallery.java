package samelight.engine.delivery;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.FileChannel;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import samelight.engine.copies.Sums;
import samelight.engine.files.ContentHash;
import samelight.engine.files.Disk;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;

/**
 * A gallery's folder. A new state is made whole in a folder beside it and takes its place by
 * renaming: {@code .NAME.samelight-new} becomes {@code NAME}, after {@code NAME} became {@code
 * .NAME.samelight-before}. An interruption between the two is put right when the gallery is opened
 * next. Of the old state only files that the delivery made, and that still have the bytes it gave
 * them, are deleted; all else moves into the new state. Files that only help to look through the
 * pictures are added to the state that stands, each by a rename.
 */
final class Gallery {
  private final Path folder;
  private final Path stage;
  private final Path before;
  private final String shoot;
  private final Delivery.Kind kind;
  private final @Nullable GalleryManifest old;
  private final Map<String, GalleryManifest.Line> byExport = new HashMap<>();

  /** Files of the old state of which the bytes were looked at and found right. */
  private final Set<String> sound = ConcurrentHashMap.newKeySet();

  private Gallery(Path folder, String shoot, Delivery.Kind kind) {
    this.folder = folder;
    this.stage = folder.resolveSibling("." + folder.getFileName() + ".samelight-new");
    this.before = folder.resolveSibling("." + folder.getFileName() + ".samelight-before");
    this.shoot = shoot;
    this.kind = kind;
    recover();
    this.old = inspect();
    if (old != null) {
      old.pictures().forEach(l -> byExport.put(l.file().export(), l));
    }
  }

  /**
   * Opens a gallery, made or not, and puts right what an interruption left.
   *
   * @param folder absolute, without links; the folder above it exists
   * @param shoot name of the shoot's folder
   * @throws RefusedInputException if it holds something else, or another shoot's gallery
   */
  static Gallery open(Path folder, String shoot, Delivery.Kind kind) {
    return new Gallery(folder, shoot, kind);
  }

  private @Nullable GalleryManifest inspect() {
    if (!Files.exists(folder, LinkOption.NOFOLLOW_LINKS)) {
      return null;
    }
    if (!Files.isDirectory(folder, LinkOption.NOFOLLOW_LINKS)) {
      throw refused("must be a folder or not be there yet", "a file", "Name another folder");
    }
    if (!GalleryManifest.exists(folder)) {
      try (Stream<Path> inside = Files.list(folder)) {
        if (inside.findAny().isPresent()) {
          throw refused(
              "must be new, empty, or a gallery that was delivered here before",
              "files and no " + GalleryManifest.JSON,
              "Name a new folder");
        }
      } catch (IOException e) {
        throw refused("must be a folder that can be read", DurableFile.reasonOf(e), "");
      }
      return null;
    }
    GalleryManifest manifest = GalleryManifest.read(folder);
    if (!manifest.shoot().equals(shoot)) {
      throw refused(
          "must be a gallery of the shoot " + shoot,
          "one of " + manifest.shoot(),
          "Name another folder");
    }
    if (manifest.kind() != kind) {
      throw refused(
          "an early set and the whole gallery need a folder each",
          manifest.kind() == Delivery.Kind.EARLY ? "an early set" : "the whole gallery",
          "Name another folder");
    }
    return manifest;
  }

  private RefusedInputException refused(String rule, String actual, String next) {
    return new RefusedInputException(folder.toString(), rule, actual, next);
  }

  Path folder() {
    return folder;
  }

  Path stage() {
    return stage;
  }

  @Nullable GalleryManifest old() {
    return old;
  }

  /** Makes the folder for the new state. */
  void begin() throws IOException {
    deleteAll(stage);
    Files.createDirectory(stage);
  }

  /** Gives up the new state. */
  void discard() throws IOException {
    deleteAll(stage);
  }

  /** A path in the new state; its folder is made. */
  Path staged(String name) throws IOException {
    Path file = stage.resolve(name);
    Path parent = file.getParent();
    if (parent != null) {
      Files.createDirectories(parent);
    }
    return file;
  }

  /** The picture of an export as it stands in the old state, made in the same way, or null. */
  GalleryManifest.@Nullable Line made(ExportHead head, String frame, String made) {
    GalleryManifest.Line l = byExport.get(head.path());
    return l != null
            && l.exportSize() == head.size()
            && l.exportModified() == head.modifiedMillis()
            && l.made().equals(made)
            && l.file().frame().equals(frame)
            && isSound(l.file().name(), l.file().sha256())
        ? l
        : null;
  }

  /** Whether a file of the old state has these bytes. */
  boolean isSound(String name, String sha256) {
    if (sound.contains(name)) {
      return true;
    }
    Path file = folder.resolve(name);
    try {
      if (Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)
          && ContentHash.of(file).equals(sha256)) {
        sound.add(name);
        return true;
      }
    } catch (IOException e) {
      // made anew
    }
    return false;
  }

  /** Takes a file of the old state into the new one, without copying where the disk can. */
  void take(String name, String sha256, Path staged) throws IOException {
    Path from = folder.resolve(name);
    try {
      Files.createLink(staged, from);
      return;
    } catch (UnsupportedOperationException | IOException noLinks) {
      Files.copy(from, staged);
    }
    force(staged);
    if (!ContentHash.of(staged).equals(sha256)) {
      throw new IOException(name + " doesn't read back as it was written");
    }
  }

  /** Writes a further file of the new state; returns its hash. */
  String write(String name, DurableFile.Content content) throws IOException {
    Path file = staged(name);
    try (OutputStream out = Files.newOutputStream(file, StandardOpenOption.CREATE_NEW)) {
      content.writeTo(out);
    }
    force(file);
    return ContentHash.of(file);
  }

  private static void force(Path file) throws IOException {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.force(true);
    }
  }

  /** Writes the lists and puts the new state into the old one's place. */
  GalleryManifest publish(List<GalleryManifest.Line> pictures, Map<String, String> others)
      throws IOException {
    GalleryManifest manifest = lists(pictures, others);
    forceFolders(stage);
    if (Files.exists(folder, LinkOption.NOFOLLOW_LINKS)) {
      Files.move(folder, before, StandardCopyOption.ATOMIC_MOVE);
    }
    try {
      Files.move(stage, folder, StandardCopyOption.ATOMIC_MOVE);
    } catch (IOException e) {
      if (Files.exists(before, LinkOption.NOFOLLOW_LINKS)) {
        Files.move(before, folder, StandardCopyOption.ATOMIC_MOVE);
      }
      throw e;
    }
    forceAbove();
    clear(old);
    sound.clear();
    manifest.pictures().forEach(l -> sound.add(l.file().name()));
    sound.addAll(manifest.others().keySet());
    return manifest;
  }

  private GalleryManifest lists(List<GalleryManifest.Line> pictures, Map<String, String> others)
      throws IOException {
    Map<String, String> all = new TreeMap<>(others);
    SortedMap<String, String> sums = new TreeMap<>(others);
    pictures.forEach(l -> sums.put(l.file().name(), l.file().sha256()));
    all.put(Sums.NAME, write(Sums.NAME, out -> Sums.write(out, sums)));
    GalleryManifest without = new GalleryManifest(shoot, kind, pictures, all);
    all.put(GalleryManifest.CSV, write(GalleryManifest.CSV, without::writeCsv));
    GalleryManifest manifest = new GalleryManifest(shoot, kind, pictures, all);
    write(GalleryManifest.JSON, manifest::writeJson);
    return manifest;
  }

  /**
   * Moves further files from the folder for a new state into the state that stands. The list that
   * says which files are ours goes first, so that an interruption leaves none that nobody knows;
   * the page goes last, so that it never shows what isn't there.
   *
   * @param now the list of the state that stands
   * @param fresh hash of each of the files
   */
  void add(GalleryManifest now, Map<String, String> fresh) throws IOException {
    Map<String, String> others = new TreeMap<>(now.others());
    others.keySet().removeAll(List.of(Sums.NAME, GalleryManifest.CSV));
    others.putAll(fresh);
    lists(now.pictures(), others);
    forceFolders(stage);
    List<String> order =
        new ArrayList<>(List.of(GalleryManifest.JSON, Sums.NAME, GalleryManifest.CSV));
    order.addAll(fresh.keySet());
    order.remove(PageFiles.INDEX);
    order.add(PageFiles.INDEX);
    Set<Path> touched = new HashSet<>(List.of(folder));
    for (String name : order) {
      Path to = folder.resolve(name);
      if (!name.equals(GalleryManifest.JSON)) {
        moveStrangerAside(to, name, now.others().get(name));
      }
      Path parent = to.getParent();
      if (parent != null && touched.add(parent)) {
        Files.createDirectories(parent);
      }
      Files.move(stage.resolve(name), to, StandardCopyOption.ATOMIC_MOVE);
    }
    for (Path p : touched) {
      Disk.REAL.forceFolder(p);
    }
    deleteAll(stage);
  }

  private void moveStrangerAside(Path file, String name, @Nullable String known)
      throws IOException {
    if (Files.exists(file, LinkOption.NOFOLLOW_LINKS)
        && (Files.isSymbolicLink(file) || !ContentHash.of(file).equals(known))) {
      moveInto(file, name);
    }
  }

  private void forceFolders(Path top) throws IOException {
    List<Path> folders = new ArrayList<>();
    try (Stream<Path> all = Files.walk(top)) {
      all.filter(Files::isDirectory).forEach(folders::add);
    }
    for (Path p : folders) {
      Disk.REAL.forceFolder(p);
    }
  }

  private void forceAbove() throws IOException {
    Path parent = folder.getParent();
    if (parent != null) {
      Disk.REAL.forceFolder(parent);
    }
  }

  private void recover() {
    try {
      if (Files.isDirectory(before, LinkOption.NOFOLLOW_LINKS)) {
        if (!Files.exists(folder, LinkOption.NOFOLLOW_LINKS)) {
          Files.move(before, folder, StandardCopyOption.ATOMIC_MOVE);
          forceAbove();
        } else {
          clear(GalleryManifest.exists(before) ? GalleryManifest.read(before) : null);
        }
      }
      deleteAll(stage);
    } catch (IOException e) {
      throw DurableFile.couldNotWrite(folder, e);
    }
  }

  /** Empties the old state: own files go, others move into the new state. */
  private void clear(@Nullable GalleryManifest manifest) throws IOException {
    if (!Files.isDirectory(before, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    Map<String, String> own = new HashMap<>();
    if (manifest != null) {
      own.putAll(manifest.others());
      manifest.pictures().forEach(l -> own.put(l.file().name(), l.file().sha256()));
    }
    List<Path> files = new ArrayList<>();
    List<Path> folders = new ArrayList<>();
    try (Stream<Path> all = Files.walk(before)) {
      all.forEach(p -> (Files.isDirectory(p, LinkOption.NOFOLLOW_LINKS) ? folders : files).add(p));
    }
    Path list = null;
    for (Path file : files) {
      String name = before.relativize(file).toString().replace(java.io.File.separatorChar, '/');
      String hash = own.get(name);
      if (name.equals(GalleryManifest.JSON)) {
        list = file; // the last to go: it says which files are ours
      } else if (hash != null && !Files.isSymbolicLink(file) && ours(file, name, hash)) {
        Files.delete(file);
      } else {
        moveInto(file, name);
      }
    }
    if (list != null) {
      Files.delete(list);
    }
    for (int i = folders.size() - 1; i >= 0; i--) {
      Path p = folders.get(i);
      boolean empty;
      try (Stream<Path> inside = Files.list(p)) {
        empty = inside.findAny().isEmpty();
      }
      if (empty) {
        Files.delete(p);
      }
    }
    forceAbove();
  }

  private boolean ours(Path file, String name, String hash) throws IOException {
    return sound.contains(name) || ContentHash.of(file).equals(hash);
  }

  private void moveInto(Path file, String name) throws IOException {
    Path to = folder.resolve(name);
    for (int n = 2; Files.exists(to, LinkOption.NOFOLLOW_LINKS); n++) {
      to = folder.resolve(numbered(name, n));
    }
    Path parent = to.getParent();
    if (parent != null) {
      Files.createDirectories(parent);
    }
    Files.move(file, to, StandardCopyOption.ATOMIC_MOVE);
  }

  /** {@code a/NAME.EXT} with n as {@code a/NAME-kept-n.EXT}. */
  private static String numbered(String name, int n) {
    int dot = name.lastIndexOf('.');
    boolean extension = dot > name.lastIndexOf('/') + 1;
    String stem = extension ? name.substring(0, dot) : name;
    return stem + "-kept-" + n + (extension ? name.substring(dot) : "");
  }

  /** Names of files that the old state had and a new one hasn't. */
  Set<String> gone(List<GalleryManifest.Line> pictures) {
    Set<String> gone = new HashSet<>();
    if (old != null) {
      old.pictures().forEach(l -> gone.add(l.file().export()));
      pictures.forEach(l -> gone.remove(l.file().export()));
    }
    return gone;
  }

  private static void deleteAll(Path top) throws IOException {
    if (!Files.isDirectory(top, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    Files.walkFileTree(
        top,
        new SimpleFileVisitor<>() {
          @Override
          public FileVisitResult visitFile(Path file, BasicFileAttributes a) throws IOException {
            Files.delete(file);
            return FileVisitResult.CONTINUE;
          }

          @Override
          public FileVisitResult postVisitDirectory(Path dir, @Nullable IOException e)
              throws IOException {
            if (e != null) {
              throw e;
            }
            Files.delete(dir);
            return FileVisitResult.CONTINUE;
          }
        });
  }
}
