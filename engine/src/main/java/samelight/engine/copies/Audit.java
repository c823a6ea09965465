package samelight.engine.copies;

import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicLong;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.metadata.NamedKind;

/**
 * Compares copied shoots with their manifests, reading every byte from the drive. Writes nothing.
 */
public final class Audit {
  private static final String OWN = "samelight";
  private static final int WANTED_COPIES = 3;
  private static final int WANTED_DRIVES = 2;

  private final SecureRequest.DriveFinder drives;
  private final CopyProgress progress;
  private final AtomicLong done = new AtomicLong();
  private long total;

  private Audit(SecureRequest.DriveFinder drives, CopyProgress progress) {
    this.drives = drives;
    this.progress = progress;
  }

  /**
   * Audits folders.
   *
   * @param folders copied shoots, or folders with copied shoots in them
   * @throws RefusedInputException if a folder can't be read, holds no copied shoot, or a manifest
   *     is damaged
   */
  public static AuditResult run(
      List<Path> folders, SecureRequest.DriveFinder drives, CopyProgress progress) {
    Set<Path> shoots = new LinkedHashSet<>();
    for (Path folder : folders) {
      shoots.addAll(shoots(folder));
    }
    return new Audit(drives, progress).all(shoots);
  }

  private static boolean isShoot(Path folder) {
    return Manifest.exists(folder)
        || Files.isRegularFile(folder.resolve(Sums.NAME), LinkOption.NOFOLLOW_LINKS);
  }

  private static List<Path> shoots(Path folder) {
    Path root = ShootPaths.of(folder).root();
    if (isShoot(root)) {
      return List.of(root);
    }
    try (Stream<Path> below = Files.list(root)) {
      List<Path> found =
          below
              .filter(p -> Files.isDirectory(p, LinkOption.NOFOLLOW_LINKS) && isShoot(p))
              .sorted()
              .toList();
      if (found.isEmpty()) {
        throw new RefusedInputException(
            folder.toString(),
            "must be a copied shoot, or hold one",
            "neither " + Sums.NAME + " nor " + Manifest.NAME,
            "Name the folder that `samelight secure` made, or the one given to it with --to");
      }
      return found;
    } catch (IOException e) {
      throw new RefusedInputException(
          folder.toString(), "must be readable", DurableFile.reasonOf(e), "Check its drive", e);
    }
  }

  /** What a shoot should hold, and what lies there. */
  private static final class Look {
    final Path root;
    final @Nullable Manifest manifest;
    final SortedMap<String, String> expected;
    final List<String> disagree = new ArrayList<>();
    final TreeMap<String, Path> files = new TreeMap<>();
    final List<String> unreadable = new ArrayList<>();
    final Set<String> closed = new HashSet<>();

    Look(Path root) {
      this.root = root;
      ShootPaths paths = ShootPaths.of(root);
      this.manifest = Manifest.exists(root) ? Manifest.read(paths) : null;
      Path sums = paths.resolve(Sums.NAME);
      SortedMap<String, String> listed =
          Files.exists(sums, LinkOption.NOFOLLOW_LINKS) ? Sums.read(sums) : new TreeMap<>();
      if (manifest == null) {
        expected = listed;
      } else {
        expected = new TreeMap<>();
        manifest.records().forEach((path, r) -> expected.put(path, r.sha256()));
        for (Map.Entry<String, String> e : listed.entrySet()) {
          String other = expected.putIfAbsent(e.getKey(), e.getValue());
          if (other != null && !other.equals(e.getValue())) {
            disagree.add(
                e.getKey() + ": " + Sums.NAME + " and " + Manifest.NAME + " have different hashes");
          }
        }
      }
    }

    /** Whether a file, or a folder that it lies in, could not be looked at. */
    boolean closed(String path) {
      for (int end = path.length(); end > 0; end = path.lastIndexOf('/', end - 1)) {
        if (closed.contains(path.substring(0, end))) {
          return true;
        }
      }
      return false;
    }
  }

  private AuditResult all(Set<Path> shoots) {
    List<Look> looks = new ArrayList<>();
    for (Path root : shoots) {
      Look look = new Look(root);
      try {
        Files.walkFileTree(root, new Walk(look));
      } catch (IOException e) {
        throw new RefusedInputException(
            root.toString(), "must be readable", DurableFile.reasonOf(e), "Check its drive", e);
      }
      for (Map.Entry<String, Path> e : look.files.entrySet()) {
        try {
          total += look.expected.containsKey(e.getKey()) ? Files.size(e.getValue()) : 0;
        } catch (IOException gone) {
          // it is met again when it is read
        }
      }
      looks.add(look);
    }
    List<AuditResult.ShootAudit> audits = new ArrayList<>();
    for (Look look : looks) {
      audits.add(audit(look));
    }
    return new AuditResult(audits, copies(looks));
  }

  private static final class Walk extends SimpleFileVisitor<Path> {
    private final Look look;

    Walk(Look look) {
      this.look = look;
    }

    private String name(Path file) {
      return look.root
          .relativize(file)
          .toString()
          .replace(file.getFileSystem().getSeparator(), "/");
    }

    @Override
    public FileVisitResult preVisitDirectory(Path folder, BasicFileAttributes a) {
      return name(folder).equals(OWN) ? FileVisitResult.SKIP_SUBTREE : FileVisitResult.CONTINUE;
    }

    @Override
    public FileVisitResult visitFile(Path file, BasicFileAttributes a) {
      if (!name(file).equals(Sums.NAME)) {
        look.files.put(name(file), file);
      }
      return FileVisitResult.CONTINUE;
    }

    @Override
    public FileVisitResult visitFileFailed(Path file, IOException e) {
      look.closed.add(name(file));
      look.unreadable.add(name(file) + ": " + DurableFile.reasonOf(e));
      return FileVisitResult.CONTINUE;
    }

    @Override
    public FileVisitResult postVisitDirectory(Path folder, @Nullable IOException e) {
      if (e != null) {
        look.closed.add(name(folder));
        look.unreadable.add(name(folder) + ": " + DurableFile.reasonOf(e));
      }
      return FileVisitResult.CONTINUE;
    }
  }

  private AuditResult.ShootAudit audit(Look look) {
    List<String> changed = new ArrayList<>();
    TreeSet<String> missing = new TreeSet<>();
    int right = 0;
    boolean direct = true;
    Map<Path, String> extraHashes = new HashMap<>();
    TreeSet<String> extra = new TreeSet<>(look.files.keySet());
    extra.removeAll(look.expected.keySet());
    List<String> moved = new ArrayList<>();
    try (ReadBack reader = new ReadBack()) {
      for (Map.Entry<String, String> e : look.expected.entrySet()) {
        String path = e.getKey();
        Path file = look.files.get(path);
        if (file == null) {
          if (!look.closed(path)) {
            missing.add(path);
          }
          continue;
        }
        try {
          if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
            changed.add(path + ": a link or folder in its place");
            continue;
          }
          CopyRecord record = look.manifest == null ? null : look.manifest.at(path);
          long size = Files.size(file);
          if (record != null && record.size() != size) {
            changed.add(path + ": " + size + " bytes, was " + record.size());
            progress.at(CopyProgress.Step.READING_BACK, done.addAndGet(size), total);
            continue;
          }
          ReadBack.Result result = reader.hash(file, this::more);
          direct &= result.direct();
          if (result.sha256().equals(e.getValue())) {
            right++;
          } else {
            changed.add(path + ": same size, other bytes");
          }
        } catch (IOException problem) {
          look.unreadable.add(path + ": " + DurableFile.reasonOf(problem));
        }
      }
      findMoved(look, reader, missing, extra, extraHashes, moved);
    }
    int sidecars = 0;
    List<String> others = new ArrayList<>();
    for (String path : extra) {
      if (NamedKind.of(path) == NamedKind.SIDECAR) {
        sidecars++;
      } else {
        others.add(path);
      }
    }
    return new AuditResult.ShootAudit(
        look.root.toString(),
        look.manifest == null ? "" : look.manifest.name(),
        look.expected.size(),
        right,
        List.copyOf(missing),
        moved,
        changed,
        others,
        sidecars,
        look.unreadable,
        look.disagree,
        direct);
  }

  private void more(long bytes) {
    progress.at(CopyProgress.Step.READING_BACK, done.addAndGet(bytes), total);
  }

  /** A missing file whose bytes lie under another name is moved, not lost. */
  private static void findMoved(
      Look look,
      ReadBack reader,
      Set<String> missing,
      Set<String> extra,
      Map<Path, String> hashes,
      List<String> moved) {
    Manifest manifest = look.manifest;
    if (manifest == null || missing.isEmpty()) {
      return;
    }
    Map<Long, List<String>> bySize = new HashMap<>();
    for (String path : extra) {
      try {
        Path file = look.files.get(path);
        if (file != null && Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
          bySize.computeIfAbsent(Files.size(file), s -> new ArrayList<>()).add(path);
        }
      } catch (IOException e) {
        // then it isn't taken for a moved one
      }
    }
    for (String path : List.copyOf(missing)) {
      CopyRecord record = manifest.at(path);
      if (record == null) {
        continue;
      }
      for (String other : bySize.getOrDefault(record.size(), List.of())) {
        Path file = look.files.get(other);
        if (file == null || !extra.contains(other)) {
          continue;
        }
        try {
          String hash = hashes.get(file);
          if (hash == null) {
            hash = reader.hash(file, n -> {}).sha256();
            hashes.put(file, hash);
          }
          if (hash.equals(record.sha256())) {
            moved.add(path + " is now " + other);
            missing.remove(path);
            extra.remove(other);
            break;
          }
        } catch (IOException e) {
          look.unreadable.add(other + ": " + DurableFile.reasonOf(e));
        }
      }
    }
  }

  /** How many copies of each shoot are in sight, on how many drives. */
  private List<String> copies(List<Look> looks) {
    Map<String, Set<Path>> byId = new LinkedHashMap<>();
    Map<String, String> names = new HashMap<>();
    for (Look look : looks) {
      Manifest manifest = look.manifest;
      if (manifest == null) {
        continue;
      }
      names.put(manifest.id(), manifest.name());
      Set<Path> seen = byId.computeIfAbsent(manifest.id(), i -> new LinkedHashSet<>());
      seen.add(look.root);
      for (String place : manifest.places()) {
        Path other = other(place, manifest.id());
        if (other != null) {
          seen.add(other);
        }
      }
    }
    List<String> out = new ArrayList<>();
    byId.forEach(
        (id, places) -> {
          Set<String> on = new TreeSet<>();
          for (Path place : places) {
            try {
              on.add(drives.of(place).id());
            } catch (IOException e) {
              // then it isn't counted as a drive
            }
          }
          out.add(
              names.get(id)
                  + ": "
                  + count(places.size(), "copy", "copies")
                  + " in sight, on "
                  + count(on.size(), "drive", "drives")
                  + (places.size() < WANTED_COPIES || on.size() < WANTED_DRIVES
                      ? "; 3-2-1 asks for 3 copies, on 2 kinds of drive, 1 of them elsewhere"
                      : "; 3-2-1 also asks that one of them is kept elsewhere"));
        });
    return out;
  }

  private static String count(int n, String one, String more) {
    return n + " " + (n == 1 ? one : more);
  }

  private static @Nullable Path other(String place, String id) {
    try {
      Path path = Path.of(place);
      if (!Files.isDirectory(path) || !Manifest.exists(path)) {
        return null;
      }
      ShootPaths paths = ShootPaths.of(path);
      return Manifest.read(paths).id().equals(id) ? paths.root() : null;
    } catch (InvalidPathException | RefusedInputException e) {
      return null;
    }
  }
}
