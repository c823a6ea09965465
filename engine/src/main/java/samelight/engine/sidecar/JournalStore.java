package samelight.engine.sidecar;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import samelight.engine.files.Disk;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;

/**
 * The journals of a shoot, {@code samelight/journal/0001.jsonl} and on.
 *
 * <p>Rule of pruning: of the finished ones the newest {@value #KEEP} are kept, as far as they hold
 * at most 256 MB together, and the newest two whatever their size. Older ones are deleted when a
 * new one is finished; what they could undo can't be undone any more.
 */
final class JournalStore {
  static final int KEEP = 20;
  static final long KEEP_BYTES = 256L << 20;
  private static final Pattern NAME = Pattern.compile("(\\d{4,9})\\.jsonl");

  private final ShootPaths shoot;

  JournalStore(ShootPaths shoot) {
    this.shoot = shoot;
  }

  Path folder() {
    return shoot.resolve("samelight/journal");
  }

  /** Journal files, oldest first. */
  List<Path> files() {
    TreeMap<Long, Path> files = new TreeMap<>();
    Path folder = folder();
    if (!Files.exists(folder)) {
      return List.of();
    }
    try (DirectoryStream<Path> entries = Files.newDirectoryStream(folder)) {
      for (Path entry : entries) {
        Matcher m = NAME.matcher(String.valueOf(entry.getFileName()));
        if (m.matches() && Files.isRegularFile(entry, LinkOption.NOFOLLOW_LINKS)) {
          files.put(Long.parseLong(m.group(1)), entry);
        }
      }
    } catch (IOException | java.nio.file.DirectoryIteratorException e) {
      throw new RefusedInputException(
          folder.toString(),
          "must be a folder that can be read",
          String.valueOf(e.getMessage()),
          "Check its permissions",
          e);
    }
    return new ArrayList<>(files.values());
  }

  /** The id and file of the next journal. */
  Path next() {
    List<Path> files = files();
    long last = files.isEmpty() ? 0 : number(files.get(files.size() - 1));
    return folder().resolve(String.format(java.util.Locale.ROOT, "%04d.jsonl", last + 1));
  }

  static String id(Path file) {
    String name = String.valueOf(file.getFileName());
    return name.substring(0, name.indexOf('.'));
  }

  private static long number(Path file) {
    return Long.parseLong(id(file));
  }

  /** Journals without their last line, newest first. */
  List<Path> unfinished() {
    List<Path> open = new ArrayList<>();
    for (Path file : files()) {
      if (!finished(file)) {
        open.add(0, file);
      }
    }
    return open;
  }

  private static boolean finished(Path file) {
    byte[] ending = Journal.DONE_ENDING.getBytes(StandardCharsets.UTF_8);
    try (RandomAccessFile in = new RandomAccessFile(file.toFile(), "r")) {
      if (in.length() < ending.length) {
        return false;
      }
      byte[] tail = new byte[ending.length];
      in.seek(in.length() - ending.length);
      in.readFully(tail);
      return java.util.Arrays.equals(tail, ending);
    } catch (IOException e) {
      throw new RefusedInputException(
          file.toString(),
          "must be a journal that can be read",
          DurableFile.reasonOf(e),
          "Check its permissions",
          e);
    }
  }

  /** Ids of all edit maps that journals name. */
  Set<String> maps() {
    Set<String> maps = new HashSet<>();
    files().forEach(f -> maps.addAll(Journal.maps(f)));
    return maps;
  }

  /** Finished journals that were not rolled back, newest first, without the old content. */
  List<Journal> finished() {
    List<Journal> journals = new ArrayList<>();
    for (Path file : files()) {
      if (finished(file)) {
        Journal j = Journal.outline(file);
        if (j != null && !j.rolledBack) {
          journals.add(0, j);
        }
      }
    }
    return journals;
  }

  /** For each carry, the sidecars that reverts have put back. */
  static Map<String, Set<String>> undone(List<Journal> journals) {
    Map<String, Set<String>> undone = new HashMap<>();
    for (Journal j : journals) {
      if (j.kind != Journal.Kind.REVERT) {
        continue;
      }
      for (Journal.Entry e : j.entries) {
        List<String> ids = e.undoes();
        for (String id : ids == null ? List.<String>of() : ids) {
          undone.computeIfAbsent(id, k -> new HashSet<>()).add(e.sidecar());
        }
      }
    }
    return undone;
  }

  /** What the last carry that still stands meant each sidecar to be. */
  static Map<String, LastCarried> remembered(List<Journal> newestFirst) {
    Map<String, Set<String>> undone = undone(newestFirst);
    Map<String, LastCarried> last = new HashMap<>();
    for (Journal j : newestFirst) {
      Set<String> gone = undone.getOrDefault(j.id, Set.of());
      for (Journal.Entry e : j.entries) {
        LastCarried carried = e.carried();
        if (carried != null && !gone.contains(e.sidecar())) {
          last.putIfAbsent(e.sidecar(), carried);
        }
      }
    }
    return last;
  }

  /** Deletes the oldest journals by the rule above. */
  void prune(Disk disk) throws IOException {
    List<Path> files = files();
    long bytes = 0;
    int kept = 0;
    for (int i = files.size() - 1; i >= 0; i--) {
      Path file = files.get(i);
      bytes += Files.size(file);
      kept++;
      if (kept > 2 && (kept > KEEP || bytes > KEEP_BYTES) && finished(file)) {
        disk.delete(file);
      }
    }
  }
}
