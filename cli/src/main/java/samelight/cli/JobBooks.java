package samelight.cli;

import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.delivery.DeliveredFile;
import samelight.engine.delivery.Delivery;
import samelight.engine.delivery.DeliveryLog;
import samelight.engine.delivery.ExportLook;
import samelight.engine.delivery.ExportMatch;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;

/**
 * What left a shoot, as the disks show it now: exports and galleries.
 *
 * @param from the folder of exports, or null where none is known
 * @param fromThere whether that folder is there
 * @param exports exports of each frame, relative to that folder
 * @param strangers exports that belong to no frame
 * @param galleries the last delivery to each folder
 */
record JobBooks(
    @Nullable Path from,
    boolean fromThere,
    Map<String, List<String>> exports,
    List<String> strangers,
    List<Gallery> galleries) {

  /**
   * A gallery.
   *
   * @param delivery what was put there
   * @param there whether its folder is there now
   * @param missing files of it that aren't there though the folder is
   */
  record Gallery(Delivery delivery, boolean there, List<String> missing) {
    /** The files of the delivery that lie there now. */
    List<DeliveredFile> present() {
      Set<String> gone = new HashSet<>(missing);
      return there
          ? delivery.files().stream().filter(f -> !gone.contains(f.name())).toList()
          : List.of();
    }
  }

  /**
   * Looks at exports and galleries.
   *
   * @param asked the folder of exports as asked for, or null for that of the last delivery
   * @throws RefusedInputException if the folder that was asked for isn't there, or the books are
   *     damaged
   */
  static JobBooks of(ShootPaths paths, List<Frame> frames, @Nullable Path asked) {
    Map<String, Delivery> last = new LinkedHashMap<>();
    Path from = asked;
    for (Delivery delivery : DeliveryLog.read(paths)) {
      last.remove(delivery.to());
      last.put(delivery.to(), delivery);
      from = asked == null ? path(delivery.from()) : asked;
    }
    List<Gallery> galleries = new ArrayList<>();
    last.values().forEach(delivery -> galleries.add(gallery(delivery)));
    boolean there = from != null && Files.isDirectory(from);
    if (asked != null && !there) {
      throw new RefusedInputException(
          asked.toString(),
          "must be the folder of the exports",
          Files.exists(asked) ? "a file" : "no such folder",
          "Check the spelling and that the drive is there");
    }
    Map<String, List<String>> exports = new TreeMap<>();
    List<String> strangers = new ArrayList<>();
    if (from != null && there) {
      ExportMatch.Result result = ExportLook.of(from, frames);
      result
          .pairs()
          .forEach(p -> exports.computeIfAbsent(p.frame(), f -> new ArrayList<>()).add(p.export()));
      result.unmatched().forEach(u -> strangers.add(u.export()));
    }
    return new JobBooks(from, there, exports, strangers, galleries);
  }

  /** Frames with an export. */
  Set<String> exported() {
    return exports.keySet();
  }

  /** Frames of which a file lies in a gallery. */
  Set<String> delivered() {
    Set<String> frames = new HashSet<>();
    galleries.forEach(g -> g.present().forEach(f -> frames.add(f.frame())));
    return frames;
  }

  static @Nullable Path path(String text) {
    try {
      return Path.of(text);
    } catch (InvalidPathException e) {
      return null; // of another system
    }
  }

  private static Gallery gallery(Delivery delivery) {
    Path folder = path(delivery.to());
    if (folder == null || !Files.isDirectory(folder)) {
      return new Gallery(delivery, false, List.of());
    }
    List<String> missing = new ArrayList<>();
    for (DeliveredFile file : delivery.files()) {
      Path picture = folder.resolve(file.name());
      if (!Files.isRegularFile(picture, LinkOption.NOFOLLOW_LINKS)) {
        missing.add(file.name());
      }
    }
    return new Gallery(delivery, true, missing);
  }
}
