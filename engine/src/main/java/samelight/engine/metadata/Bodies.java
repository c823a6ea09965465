package samelight.engine.metadata;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.Frame;

/**
 * Tells the bodies of a shoot apart: by serial number, else by make, model and file-name prefix.
 * Frames that lost their serial number, as some editors drop it, belong to the body whose serial
 * number is the only one among the frames of that make, model and prefix. An id is the model's name
 * and the end of the serial number, so that it is the same in every run.
 */
final class Bodies {
  private static final int SERIAL_END = 4;

  private Bodies() {}

  private record Key(String make, String model, String serial, String prefix) {}

  /** The same frames, each with its body's final id. */
  static List<Frame> tellApart(List<Frame> frames) {
    Map<Key, Set<String>> serials = new HashMap<>();
    List<Key> keys = new ArrayList<>(frames.size());
    for (Frame f : frames) {
      Key unnumbered = new Key(f.body().make(), f.body().model(), "", prefix(f.stem()));
      String serial = f.body().serial();
      if (serial == null) {
        keys.add(unnumbered);
      } else {
        Key k = new Key(unnumbered.make, unnumbered.model, withoutZeros(serial), "");
        serials.computeIfAbsent(unnumbered, u -> new HashSet<>()).add(k.serial);
        keys.add(k);
      }
    }
    keys.replaceAll(k -> numbered(k, serials));
    List<Key> sorted = new ArrayList<>(new HashSet<>(keys));
    sorted.sort(
        Comparator.comparing(Key::make)
            .thenComparing(Key::model)
            .thenComparing(Key::serial)
            .thenComparing(Key::prefix));
    Map<Key, BodyId> bodies = new HashMap<>();
    Set<String> taken = new HashSet<>();
    for (Key k : sorted) {
      String id = id(k, taken);
      taken.add(id);
      bodies.put(k, new BodyId(id, k.make, k.model, k.serial.isEmpty() ? null : k.serial));
    }
    List<Frame> out = new ArrayList<>(frames.size());
    for (int i = 0; i < keys.size(); i++) {
      Frame f = frames.get(i);
      BodyId b = bodies.get(keys.get(i));
      out.add(b == null || b.equals(f.body()) ? f : f.withBody(b));
    }
    return out;
  }

  /**
   * The frame as its file alone tells it: without a serial number that came from its neighbours,
   * which may be others by now.
   */
  static Frame own(Frame f) {
    BodyId b = f.body();
    return b.serial() == null || f.provenance().containsKey("serial")
        ? f
        : f.withBody(new BodyId(b.id(), b.make(), b.model(), null));
  }

  private static Key numbered(Key k, Map<Key, Set<String>> serials) {
    Set<String> of = k.serial.isEmpty() ? serials.getOrDefault(k, Set.of()) : Set.of();
    return of.size() == 1 ? new Key(k.make, k.model, of.iterator().next(), "") : k;
  }

  /** Some programs pad serial numbers with zeros. */
  private static String withoutZeros(String serial) {
    int i = 0;
    while (i < serial.length() - 1 && serial.charAt(i) == '0') {
      i++;
    }
    return i > 0 && serial.chars().allMatch(c -> c >= '0' && c <= '9')
        ? serial.substring(i)
        : serial;
  }

  /** Letters before the number; a leading or trailing underscore tells the colour space (DCF). */
  static String prefix(String stem) {
    int i = 0;
    while (i < stem.length() && !Character.isDigit(stem.charAt(i))) {
      i++;
    }
    int from = 0;
    while (from < i && joins(stem.charAt(from))) {
      from++;
    }
    while (i > from && joins(stem.charAt(i - 1))) {
      i--;
    }
    return stem.substring(from, i).toUpperCase(Locale.ROOT);
  }

  private static boolean joins(char c) {
    return c == '_' || c == '-' || c == ' ';
  }

  private static String id(Key k, Set<String> taken) {
    String model = model(k.make, k.model);
    String tail = slug(k.serial.isEmpty() ? k.prefix : k.serial);
    for (int n = SERIAL_END; ; n++) {
      String end =
          k.serial.isEmpty() || n >= tail.length() ? tail : tail.substring(tail.length() - n);
      String id = end.isEmpty() ? model : model + "-" + end;
      if (!taken.contains(id)) {
        return id;
      }
      if (n >= tail.length()) {
        int i = 2;
        while (taken.contains(id + "-" + i)) {
          i++;
        }
        return id + "-" + i;
      }
    }
  }

  /** The model without the words of the make: "Make Co.", "MAKE X 100" gives "x-100". */
  static String model(String ofMake, String ofModel) {
    Set<String> make = new HashSet<>(Arrays.asList(slug(ofMake).split("-", -1)));
    StringBuilder b = new StringBuilder();
    for (String word : slug(ofModel).split("-", -1)) {
      if (!word.isEmpty() && !make.contains(word)) {
        b.append(b.isEmpty() ? "" : "-").append(word);
      }
    }
    return b.isEmpty() ? "camera" : b.toString();
  }

  static String slug(String s) {
    return s.toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9]+", "-").replaceAll("^-|-$", "");
  }
}
