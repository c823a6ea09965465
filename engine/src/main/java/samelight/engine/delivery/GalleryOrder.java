package samelight.engine.delivery;

import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.timeline.Section;
import samelight.engine.timeline.TimedFrame;

/**
 * Where each picture stands in the gallery: a folder for each section in the order of the day, and
 * one number across all of them, with leading zeros, so that sorting by folder, by name or by
 * number gives the same order. Within a section the corrected capture time counts, unless a list
 * says otherwise: the frames that the list names exchange their places among themselves.
 */
final class GalleryOrder {
  private static final int DIGITS = 4;
  private static final int SECTION_DIGITS = 2;

  private GalleryOrder() {}

  /** A pictured frame: its exports with their variants. */
  record Pictured(TimedFrame frame, String section, List<Variant> variants) {
    Pictured {
      variants = List.copyOf(variants);
    }
  }

  /**
   * One export of a frame.
   *
   * @param variant as it stands in the export's name
   */
  record Variant(ExportHead head, String variant) {}

  /**
   * Orders and names.
   *
   * @param frames pictured frames in the order of the day
   * @param sections sections in the order of the day
   * @param list frames in the order that was asked for; those that aren't pictured don't matter
   * @param openings frames asked for as opening pictures
   */
  static List<GalleryEntry> of(
      List<Pictured> frames, List<Section> sections, List<String> list, Set<String> openings) {
    Map<String, List<Pictured>> bySection = new LinkedHashMap<>();
    sections.forEach(s -> bySection.put(s.id(), new ArrayList<>()));
    for (Pictured p : frames) {
      bySection.computeIfAbsent(p.section, s -> new ArrayList<>()).add(p);
    }
    Map<String, String> names = new HashMap<>();
    sections.forEach(s -> names.put(s.id(), s.name()));
    Map<String, Integer> asked = new HashMap<>();
    list.forEach(f -> asked.putIfAbsent(f, asked.size()));
    bySection.values().removeIf(List::isEmpty);
    int digits = Math.max(DIGITS, String.valueOf(frames.size()).length());
    int sectionDigits = Math.max(SECTION_DIGITS, String.valueOf(bySection.size()).length());
    List<GalleryEntry> out = new ArrayList<>(frames.size());
    int number = 0;
    int chapter = 0;
    for (Map.Entry<String, List<Pictured>> e : bySection.entrySet()) {
      String section = names.getOrDefault(e.getKey(), "Section");
      String folder =
          padded(++chapter, sectionDigits) + " " + SafeNames.of(section, "Section " + chapter);
      List<Pictured> own = exchanged(e.getValue(), asked);
      String opening = opening(own, openings);
      for (Pictured p : own) {
        number++;
        Set<String> taken = new HashSet<>();
        for (Variant v : inOrder(p.variants)) {
          String suffix = suffix(v, taken);
          String file = padded(number, digits) + (suffix.isEmpty() ? "" : "_" + suffix) + ".jpg";
          boolean first = taken.size() == 1;
          out.add(
              new GalleryEntry(
                  p.frame.frame().file(),
                  v.head,
                  section,
                  folder + "/" + file,
                  number,
                  suffix,
                  first && p.frame.frame().file().equals(opening),
                  rating(p),
                  time(p.frame)));
        }
      }
    }
    return out;
  }

  private static String padded(int n, int digits) {
    String s = String.valueOf(n);
    return "0".repeat(Math.max(0, digits - s.length())) + s;
  }

  /** Those that the list names take each other's places in its order. */
  private static List<Pictured> exchanged(List<Pictured> own, Map<String, Integer> asked) {
    List<Pictured> named = new ArrayList<>();
    for (Pictured p : own) {
      if (asked.containsKey(p.frame.frame().file())) {
        named.add(p);
      }
    }
    named.sort(Comparator.comparingInt(p -> asked.getOrDefault(p.frame.frame().file(), 0)));
    List<Pictured> out = new ArrayList<>(own.size());
    int next = 0;
    for (Pictured p : own) {
      out.add(asked.containsKey(p.frame.frame().file()) ? named.get(next++) : p);
    }
    return out;
  }

  /** The frame asked for, else the first of the highest rated. */
  private static String opening(List<Pictured> own, Set<String> openings) {
    Pictured best = own.get(0);
    for (Pictured p : own) {
      if (openings.contains(p.frame.frame().file())) {
        return p.frame.frame().file();
      }
      if (rating(p) > rating(best)) {
        best = p;
      }
    }
    return best.frame.frame().file();
  }

  static double rating(Pictured p) {
    Double rating = p.frame.frame().marks().rating();
    return rating == null ? 0 : Math.max(0, rating);
  }

  /** The frame's own rendering first, then the others by name. */
  private static List<Variant> inOrder(List<Variant> variants) {
    List<Variant> sorted = new ArrayList<>(variants);
    sorted.sort(
        Comparator.comparing((Variant v) -> SafeNames.variant(v.variant).toLowerCase(Locale.ROOT))
            .thenComparing(v -> v.variant)
            .thenComparing(v -> v.head.path()));
    return sorted;
  }

  private static String suffix(Variant v, Set<String> taken) {
    String wanted = SafeNames.variant(v.variant);
    String suffix = wanted;
    for (int n = 2; !taken.add(suffix.toLowerCase(Locale.ROOT)); n++) {
      suffix = wanted + (wanted.isEmpty() ? "" : "-") + n;
    }
    return suffix;
  }

  /** Corrected capture time of a frame that has one. */
  static @Nullable LocalDateTime time(TimedFrame f) {
    double seconds = f.seconds();
    if (Double.isNaN(seconds) || f.frame().time() == null) {
      return null;
    }
    long millis = Math.round(seconds * 1_000);
    return LocalDateTime.ofEpochSecond(
        Math.floorDiv(millis, 1_000L),
        (int) Math.floorMod(millis, 1_000L) * 1_000_000,
        ZoneOffset.UTC);
  }
}
