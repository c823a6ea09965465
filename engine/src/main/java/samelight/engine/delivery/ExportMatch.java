package samelight.engine.delivery;

import java.time.Duration;
import java.time.LocalDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.Frame;

/**
 * Which export is of which frame. The rules, in this order:
 *
 * <ol>
 *   <li>By name: the export's name begins with the frame's stem, in any case of letters; the
 *       longest stem counts. What follows it, the variant, may not go on with a digit after a digit
 *       or with a letter after a letter, so that {@code IMG_0001} is not found in {@code
 *       IMG_00012}. Of several frames of one stem those count that the export's Exif time and body
 *       allow, then those whose folder the export's folder ends with.
 *   <li>By Exif capture time and body, for exports that were renamed: the one frame of that second
 *       (and fraction, where both have one) whose body has the same serial number, or the same make
 *       and model where a serial number is missing. Of several such exports of a frame the shortest
 *       name is the frame's own; where others go on after that name, what follows is their variant.
 * </ol>
 *
 * A capture time that an editor shifted for a whole body is allowed for: the shift that most
 * exports of the body show. An export whose time contradicts the frame of its name is matched and
 * listed as doubtful. Two exports of one frame and variant are doubled.
 *
 * <p>The cost grows with n log n of exports and frames together.
 */
public final class ExportMatch {
  /** Exif times of one frame may differ by this much where one of them was rounded, in seconds. */
  private static final double SAME_SECONDS = 1.0;

  private static final double SAME_FRACTION = 0.02;

  /** So many exports of a body must agree before their shift is taken for its clock's. */
  private static final int SHIFT_EXPORTS = 3;

  private final SortedMap<String, List<Frame>> byStem = new TreeMap<>();
  private final Map<LocalDateTime, List<Frame>> bySecond = new HashMap<>();
  private final Map<String, Long> shifts = new HashMap<>();
  private final int shortest;

  /**
   * An export and its frame.
   *
   * @param export path of the export
   * @param frame path of the frame
   * @param variant what tells this export from others of the frame, as it stands in the name, such
   *     as {@code -bw}; empty for the frame's own
   * @param doubt why it may be wrong, or null
   */
  public record Pair(String export, String frame, String variant, @Nullable String doubt) {}

  /**
   * An export without a frame.
   *
   * @param export path of the export
   * @param reason why, in words
   */
  public record Unmatched(String export, String reason) {}

  /**
   * Several exports of one frame and variant.
   *
   * @param frame path of the frame
   * @param variant the variant
   * @param exports paths of the exports, two or more
   */
  public record Doubled(String frame, String variant, List<String> exports) {
    /** Copies its list. */
    public Doubled {
      exports = List.copyOf(exports);
    }
  }

  /**
   * What was found.
   *
   * @param pairs every export that has a frame, doubled ones too, in the order of the exports'
   *     paths
   * @param unmatched every other export
   * @param doubled which of the pairs are of one frame and variant
   */
  public record Result(List<Pair> pairs, List<Unmatched> unmatched, List<Doubled> doubled) {
    /** Copies its lists. */
    public Result {
      pairs = List.copyOf(pairs);
      unmatched = List.copyOf(unmatched);
      doubled = List.copyOf(doubled);
    }
  }

  private ExportMatch(List<Frame> frames) {
    int least = Integer.MAX_VALUE;
    for (Frame f : frames) {
      String stem = lower(f.stem());
      byStem.computeIfAbsent(stem, s -> new ArrayList<>()).add(f);
      least = Math.min(least, stem.length());
      CaptureTime time = f.time();
      if (time != null) {
        bySecond.computeIfAbsent(second(time.local()), s -> new ArrayList<>()).add(f);
      }
    }
    shortest = Math.max(1, least);
  }

  /**
   * Matches exports with frames.
   *
   * @param exports exports in any order
   * @param frames all frames of the shoot, those that are not to be delivered too
   */
  public static Result of(List<Export> exports, List<Frame> frames) {
    List<Export> sorted = new ArrayList<>(exports);
    sorted.sort(Comparator.comparing(Export::path));
    return new ExportMatch(frames).match(sorted);
  }

  private Result match(List<Export> exports) {
    List<Pair> pairs = new ArrayList<>();
    List<Unmatched> unmatched = new ArrayList<>();
    learnShifts(exports);
    Map<String, List<Export>> renamed = new TreeMap<>();
    for (Export e : exports) {
      Named named = byName(e);
      if (named != null && named.frames.size() == 1) {
        Frame frame = named.frames.get(0);
        pairs.add(new Pair(e.path(), frame.file(), named.variant, doubt(e, frame)));
      } else if (named != null) {
        unmatched.add(
            new Unmatched(
                e.path(),
                "could be "
                    + named.frames.get(0).file()
                    + " or "
                    + named.frames.get(1).file()
                    + ": its Exif time and body don't say which, nor does its folder"));
      } else {
        List<Frame> found = byTime(e);
        if (found.size() == 1) {
          renamed.computeIfAbsent(found.get(0).file(), f -> new ArrayList<>()).add(e);
        } else {
          unmatched.add(new Unmatched(e.path(), whyNot(e, found)));
        }
      }
    }
    renamed.forEach((frame, own) -> pairs.addAll(variants(frame, own)));
    pairs.sort(Comparator.comparing(Pair::export));
    return new Result(pairs, unmatched, doubled(pairs));
  }

  private static String whyNot(Export e, List<Frame> found) {
    if (e.taken() == null) {
      return "no frame has a stem that its name begins with, and it has no Exif capture time";
    }
    return found.isEmpty()
        ? "no frame has a stem that its name begins with, and none was taken at "
            + e.taken()
            + " by its body"
        : "no frame has a stem that its name begins with, and "
            + found.size()
            + " were taken at "
            + e.taken();
  }

  private record Named(List<Frame> frames, String variant) {}

  /** Frames of the longest stem that the name begins with; narrowed where there are several. */
  private @Nullable Named byName(Export e) {
    String stem = e.stem();
    String name = lower(stem);
    for (int length = name.length(); length >= shortest; length--) {
      if (!boundary(name, length)) {
        continue;
      }
      List<Frame> found = byStem.get(name.substring(0, length));
      if (found != null) {
        return new Named(narrow(e, found), stem.substring(length));
      }
    }
    return null;
  }

  private static boolean boundary(String name, int at) {
    if (at >= name.length()) {
      return true;
    }
    char before = name.charAt(at - 1);
    char after = name.charAt(at);
    return !(Character.isDigit(before) && Character.isDigit(after))
        && !(Character.isLetter(before) && Character.isLetter(after))
        && !Character.isLowSurrogate(after);
  }

  private List<Frame> narrow(Export e, List<Frame> found) {
    List<Frame> left = found;
    left = keep(left, f -> !contradicts(e, f));
    left = keep(left, f -> sameBody(e, f));
    left = keep(left, f -> e.taken() != null && f.time() != null && sameTime(e, f));
    left = keep(left, f -> underFolder(e, f));
    return left;
  }

  /** Those that a rule allows; all where it would allow none. */
  private static List<Frame> keep(List<Frame> frames, Predicate<Frame> rule) {
    if (frames.size() == 1) {
      return frames;
    }
    List<Frame> kept = frames.stream().filter(rule).toList();
    return kept.isEmpty() ? frames : kept;
  }

  private static boolean underFolder(Export e, Frame f) {
    int slash = f.file().lastIndexOf('/');
    String folder = lower(slash < 0 ? "" : f.file().substring(0, slash));
    String own = lower(e.folder());
    for (String wanted = folder; !wanted.isEmpty(); ) {
      if (own.equals(wanted) || own.endsWith("/" + wanted)) {
        return true;
      }
      int last = wanted.lastIndexOf('/'); // a folder above the frame's, such as the body's
      wanted = last < 0 ? "" : wanted.substring(0, last);
    }
    return false;
  }

  private boolean contradicts(Export e, Frame f) {
    return e.taken() != null && f.time() != null && !sameTime(e, f);
  }

  private boolean sameTime(Export e, Frame f) {
    CaptureTime time = f.time();
    LocalDateTime taken = e.taken();
    if (time == null || taken == null) {
      return false;
    }
    long shift = shifts.getOrDefault(f.body().id(), 0L);
    return same(taken, time, e.subSecond(), 0) || same(taken, time, e.subSecond(), shift);
  }

  private static boolean same(LocalDateTime taken, CaptureTime time, boolean sub, long shift) {
    Duration apart = Duration.between(time.local().plusSeconds(shift), taken);
    double seconds = Math.abs(apart.getSeconds() + apart.getNano() * 1e-9);
    return seconds < (sub && time.subSecond() ? SAME_FRACTION : SAME_SECONDS);
  }

  private static boolean sameBody(Export e, Frame f) {
    String serial = f.body().serial();
    if (serial != null && e.serial() != null) {
      return serial.strip().equals(e.serial().strip());
    }
    boolean make = e.make().isBlank() || same(e.make(), f.body().make());
    boolean model = e.model().isBlank() || same(e.model(), f.body().model());
    return make && model;
  }

  private static boolean same(String a, String b) {
    return a.strip().equalsIgnoreCase(b.strip());
  }

  private @Nullable String doubt(Export e, Frame f) {
    CaptureTime time = f.time();
    if (time == null || !contradicts(e, f)) {
      return null;
    }
    return "named like " + f.file() + ", taken " + time.local() + ", but taken " + e.taken();
  }

  /**
   * For each body the difference between its exports' Exif times and those of the frames of their
   * names, in whole seconds, where more than half of them agree on it.
   */
  private void learnShifts(List<Export> exports) {
    Map<String, Map<Long, Integer>> counts = new HashMap<>();
    Map<String, Integer> all = new HashMap<>();
    for (Export e : exports) {
      LocalDateTime taken = e.taken();
      Named named = taken == null ? null : byName(e);
      if (taken == null || named == null || named.frames.size() != 1) {
        continue;
      }
      Frame f = named.frames.get(0);
      CaptureTime time = f.time();
      if (time != null) {
        long apart = ChronoUnit.SECONDS.between(second(time.local()), second(taken));
        counts.computeIfAbsent(f.body().id(), b -> new HashMap<>()).merge(apart, 1, Integer::sum);
        all.merge(f.body().id(), 1, Integer::sum);
      }
    }
    counts.forEach(
        (body, shift) ->
            shift.forEach(
                (seconds, n) -> {
                  if (n >= SHIFT_EXPORTS && 2 * n > all.getOrDefault(body, 0)) {
                    shifts.put(body, seconds);
                  }
                }));
  }

  private List<Frame> byTime(Export e) {
    LocalDateTime taken = e.taken();
    if (taken == null) {
      return List.of();
    }
    List<Frame> found = new ArrayList<>();
    List<Long> tried = new ArrayList<>(shifts.values());
    tried.add(0L);
    for (long shift : tried.stream().distinct().toList()) {
      for (Frame f : bySecond.getOrDefault(second(taken).minusSeconds(shift), List.of())) {
        CaptureTime time = f.time();
        long own = shifts.getOrDefault(f.body().id(), 0L);
        boolean exact = time != null && same(taken, time, e.subSecond(), shift);
        if ((shift == own || shift == 0) && exact && sameBody(e, f) && !found.contains(f)) {
          found.add(f);
        }
      }
    }
    return found;
  }

  private static List<Pair> variants(String frame, List<Export> own) {
    Export first =
        own.stream()
            .min(
                Comparator.comparingInt((Export e) -> e.stem().length())
                    .thenComparing(Export::path))
            .orElseThrow();
    String stem = lower(first.stem());
    List<Pair> out = new ArrayList<>();
    for (Export e : own) {
      String variant =
          lower(e.stem()).startsWith(stem) ? e.stem().substring(first.stem().length()) : "";
      out.add(new Pair(e.path(), frame, variant, null));
    }
    return out;
  }

  private static List<Doubled> doubled(List<Pair> pairs) {
    Map<String, List<Pair>> same = new TreeMap<>();
    for (Pair p : pairs) {
      same.computeIfAbsent(p.frame + "\0" + lower(p.variant), k -> new ArrayList<>()).add(p);
    }
    List<Doubled> out = new ArrayList<>();
    for (List<Pair> group : same.values()) {
      if (group.size() > 1) {
        Pair first = group.get(0);
        out.add(new Doubled(first.frame, first.variant, group.stream().map(Pair::export).toList()));
      }
    }
    return out;
  }

  private static LocalDateTime second(LocalDateTime time) {
    return time.truncatedTo(ChronoUnit.SECONDS);
  }

  private static String lower(String s) {
    return s.toLowerCase(Locale.ROOT);
  }
}
