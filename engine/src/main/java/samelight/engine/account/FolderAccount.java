package samelight.engine.account;

import java.util.Collections;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import samelight.engine.copies.CardBook;
import samelight.engine.metadata.Category;
import samelight.engine.metadata.FileStamp;
import samelight.engine.metadata.ListedFile;
import samelight.engine.metadata.ShootReading;

/**
 * Every file of a shoot in exactly one line: those that lie in its folder now, those on the
 * manifests of its cards, and those that were read before. What lies there now comes from a walk
 * over the folder, not from what was planned.
 *
 * @param lines the line of each file
 * @param changed frames whose size or time is no longer as it was read, or whose size is not that
 *     of the card's manifest
 * @param cards for each card's label, how many of its files are here, and how many it has
 */
public record FolderAccount(
    SortedMap<String, Line> lines, List<String> changed, SortedMap<String, CardCount> cards) {
  /** Copies its collections. */
  public FolderAccount {
    lines = Collections.unmodifiableSortedMap(new TreeMap<>(lines));
    changed = List.copyOf(changed);
    cards = Collections.unmodifiableSortedMap(new TreeMap<>(cards));
  }

  /**
   * The files of one card.
   *
   * @param files how many its manifest names
   * @param here how many of them lie in the shoot now
   */
  public record CardCount(int files, int here) {}

  /**
   * Works it out.
   *
   * @param files what lies in the folder now
   * @param reading what was read, or null where nothing was
   * @param standing how far each frame is, or null where nothing was grouped
   * @param books manifests of the cards
   * @param exported frames with an export
   * @param delivered frames whose picture lies in the gallery
   */
  public static FolderAccount of(
      SortedMap<String, ListedFile> files,
      @Nullable ShootReading reading,
      @Nullable Standing standing,
      List<CardBook> books,
      Set<String> exported,
      Set<String> delivered) {
    SortedMap<String, Line> lines = new TreeMap<>();
    TreeSet<String> changed = new TreeSet<>();
    files.forEach(
        (name, file) -> {
          FrameStanding frame = standing == null ? null : standing.frames().get(name);
          Category read = reading == null ? null : reading.files().get(name);
          lines.put(name, line(name, file, read, frame, exported, delivered));
          FileStamp stamp = reading == null ? null : reading.stamps().get(name);
          if (stamp != null
              && (stamp.size() != file.size() || stamp.modifiedMillis() != file.modifiedMillis())) {
            changed.add(name);
          }
        });
    SortedMap<String, CardCount> cards = new TreeMap<>();
    for (CardBook book : books) {
      book.files()
          .forEach(
              (name, copied) -> {
                ListedFile here = files.get(name);
                cards.merge(
                    copied.card(),
                    new CardCount(1, here == null ? 0 : 1),
                    (a, b) -> new CardCount(a.files() + b.files(), a.here() + b.here()));
                if (here == null) {
                  lines.put(name, Line.MISSING);
                } else if (here.size() >= 0 && here.size() != copied.size()) {
                  changed.add(name);
                }
              });
    }
    if (reading != null) {
      reading
          .files()
          .forEach(
              (name, category) -> {
                if (lasting(category)) {
                  lines.putIfAbsent(name, Line.GONE);
                }
              });
    }
    return new FolderAccount(lines, List.copyOf(changed), cards);
  }

  /** Whether a file of the category doesn't come and go with the work. */
  private static boolean lasting(Category category) {
    return switch (category) {
      case FRAME, PAIRED_JPEG, VIDEO, COMPANION -> true;
      case SIDECAR, UNREADABLE, OTHER -> false;
    };
  }

  private static Line line(
      String name,
      ListedFile file,
      @Nullable Category read,
      @Nullable FrameStanding frame,
      Set<String> exported,
      Set<String> delivered) {
    if (frame != null) {
      return frame(frame, exported.contains(name), delivered.contains(name));
    }
    return switch (file.kind()) {
      case VIDEO -> Line.VIDEO;
      case COMPANION -> Line.COMPANION;
      case SIDECAR -> Line.SIDECAR;
      case OTHER -> Line.OTHER;
      case PICTURE ->
          read == null
              ? file.size() < 0 ? Line.UNREADABLE : Line.NOT_READ
              : switch (read) {
                case FRAME -> Line.NOT_GROUPED;
                case PAIRED_JPEG -> Line.PAIRED_JPEG;
                default -> Line.UNREADABLE;
              };
    };
  }

  private static Line frame(FrameStanding frame, boolean exported, boolean delivered) {
    if (delivered) {
      return Line.DELIVERED;
    }
    if (exported) {
      return Line.EXPORTED;
    }
    if (!frame.kept()) {
      return Line.NOT_KEPT;
    }
    if (frame.needsEyes()) {
      return Line.NEEDS_EYES;
    }
    if (frame.edited()) {
      return Line.EDITED;
    }
    return frame.carried() ? Line.CARRIED : frame.grouped() ? Line.GROUPED : Line.NOT_GROUPED;
  }

  /** How many files each line has; lines without any are left out. */
  public Map<Line, Integer> counts() {
    Map<Line, Integer> counts = new EnumMap<>(Line.class);
    lines.values().forEach(line -> counts.merge(line, 1, Integer::sum));
    return counts;
  }

  /** Files of one line, in the order of their paths. */
  public List<String> files(Line line) {
    return lines.entrySet().stream()
        .filter(e -> e.getValue() == line)
        .map(Map.Entry::getKey)
        .toList();
  }

  /** How many files lie in the shoot now, our own folder left out. */
  public int here() {
    return (int) lines.values().stream().filter(Line::here).count();
  }
}
