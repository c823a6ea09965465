package samelight.engine.copies;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import samelight.engine.metadata.NamedKind;

/**
 * Compares the two cards of a camera with two slots, by the hashes of their files. Where one slot
 * took the raws and the other the JPEGs, frames are compared by their stems.
 */
final class Twins {
  private static final int MOST_SHOWN = 20;

  private Twins() {}

  /**
   * What differs, in words; empty where the two agree.
   *
   * @param first hash of each file that was read of the first card, by its path on it
   * @param second the same for the second
   */
  static List<String> compare(Map<String, String> first, Map<String, String> second) {
    Map<String, Map<String, String>> a = pictures(first);
    Map<String, Map<String, String>> b = pictures(second);
    List<String> out = new ArrayList<>();
    List<String> onlyFirst = new ArrayList<>();
    List<String> onlySecond = new ArrayList<>();
    TreeSet<String> stems = new TreeSet<>(a.keySet());
    stems.addAll(b.keySet());
    for (String stem : stems) {
      Map<String, String> here = a.getOrDefault(stem, Map.of());
      Map<String, String> there = b.getOrDefault(stem, Map.of());
      if (there.isEmpty()) {
        onlyFirst.addAll(here.keySet());
      } else if (here.isEmpty()) {
        onlySecond.addAll(there.keySet());
      }
      for (Map.Entry<String, String> file : here.entrySet()) {
        String other = there.get(file.getKey());
        if (other != null && !other.equals(file.getValue())) {
          out.add(file.getKey() + ": the two cards hold different bytes; both are kept");
        }
      }
    }
    say(out, onlyFirst, "only on the first card");
    say(out, onlySecond, "only on the twin");
    return out;
  }

  private static void say(List<String> out, List<String> names, String where) {
    for (String name : names.subList(0, Math.min(MOST_SHOWN, names.size()))) {
      out.add(name + ": " + where);
    }
    if (names.size() > MOST_SHOWN) {
      out.add("and " + (names.size() - MOST_SHOWN) + " more files " + where);
    }
  }

  /** Hash by path without the folders' case, by stem. */
  private static Map<String, Map<String, String>> pictures(Map<String, String> files) {
    Map<String, Map<String, String>> stems = new TreeMap<>();
    files.forEach(
        (path, hash) -> {
          if (NamedKind.of(path) != NamedKind.OTHER) {
            String upper = path.toUpperCase(java.util.Locale.ROOT);
            int dot = upper.lastIndexOf('.');
            String stem = dot > upper.lastIndexOf('/') ? upper.substring(0, dot) : upper;
            stems.computeIfAbsent(stem, s -> new TreeMap<>()).put(upper, hash);
          }
        });
    return stems;
  }
}
