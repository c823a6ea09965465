package samelight.engine.metadata;

import java.time.Duration;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.NavigableMap;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;

/**
 * Joins the raw and the JPEG of one exposure (a DCF object): same folder, same stem, equal time and
 * equal exposure. What shares a stem and isn't one exposure stays apart, with a finding.
 */
final class Pairs {
  /** Rule of the finding of a frame without a time. */
  static final String TIME_RULE = "capture time present (Exif DateTimeOriginal)";

  /** What a single reading does about it. */
  static final String NO_TIME = "left without a time";

  /** Rule of the finding of files that share a stem. */
  static final String STEM_RULE = "files of one stem in one folder are one exposure (DCF)";

  private static final double SAME = 0.01;

  private Pairs() {}

  /** Folder and stem, in lower case: copying tools change the case of extensions and names. */
  static String key(String name) {
    int dot = name.lastIndexOf('.');
    return name.substring(0, dot < 0 ? name.length() : dot).toLowerCase(Locale.ROOT);
  }

  /**
   * Joins pairs.
   *
   * @param frames by name; what is joined is taken out and the raw's frame replaced
   * @param findings takes what was found in the joined JPEGs
   * @return the joined JPEGs, each with its raw
   */
  static Map<String, String> join(NavigableMap<String, Frame> frames, List<Finding> findings) {
    Map<String, List<String>> stems = new TreeMap<>();
    for (String name : frames.keySet()) {
      stems.computeIfAbsent(key(name), k -> new ArrayList<>()).add(name);
    }
    Map<String, String> joined = new TreeMap<>();
    for (List<String> names : stems.values()) {
      if (names.size() > 1) {
        joinStem(names, frames, joined, findings);
      }
    }
    return joined;
  }

  private static void joinStem(
      List<String> names,
      NavigableMap<String, Frame> frames,
      Map<String, String> joined,
      List<Finding> findings) {
    String first = names.stream().filter(ShootFiles::raw).findFirst().orElse(names.get(0));
    Frame raw = frames.get(first);
    if (raw == null) {
      return;
    }
    String paired = null;
    // JPEG before HEIF: "paired" names one file, and a JPEG can be measured.
    List<String> others = new ArrayList<>(names);
    others.remove(first);
    others.sort(
        java.util.Comparator.comparing((String n) -> !ShootFiles.jpeg(n))
            .thenComparing(java.util.Comparator.naturalOrder()));
    for (String other : others) {
      Frame f = frames.get(other);
      if (f == null) {
        continue;
      }
      String why =
          ShootFiles.raw(first) && ShootFiles.rendered(other)
              ? difference(raw, f)
              : "not a raw and its JPEG";
      if (why == null) {
        joined.put(other, first);
        frames.remove(other);
        findings.addAll(f.findings());
        paired = paired == null ? other : paired;
      } else {
        List<Finding> own = new ArrayList<>(f.findings());
        own.add(
            new Finding(other, null, STEM_RULE, why + " (" + first + ")", "kept as two frames"));
        frames.put(other, f.withFindings(own));
      }
    }
    if (paired != null) {
      frames.put(first, raw.withPaired(paired));
    }
  }

  /** Why two frames aren't one exposure, or null where they are. */
  private static @Nullable String difference(Frame a, Frame b) {
    CaptureTime ta = a.time();
    CaptureTime tb = b.time();
    if (ta == null || tb == null) {
      return "a capture time is missing";
    }
    boolean exact = ta.subSecond() && tb.subSecond();
    Duration apart =
        exact
            ? Duration.between(ta.local(), tb.local())
            : Duration.between(
                ta.local().truncatedTo(ChronoUnit.SECONDS),
                tb.local().truncatedTo(ChronoUnit.SECONDS));
    if (apart.abs().toMillis() > (exact ? 10 : 0)) {
      return "capture times " + ta.local() + " and " + tb.local();
    }
    var sa = a.settings();
    var sb = b.settings();
    if (differ(
        sa.exposureTime() == null ? Double.NaN : sa.exposureTime().seconds(),
        sb.exposureTime() == null ? Double.NaN : sb.exposureTime().seconds())) {
      return "exposure times differ";
    }
    if (differ(
        sa.fNumber() == null ? Double.NaN : sa.fNumber().value(),
        sb.fNumber() == null ? Double.NaN : sb.fNumber().value())) {
      return "f-numbers differ";
    }
    if (differ(
        sa.iso() == null ? Double.NaN : sa.iso().value(),
        sb.iso() == null ? Double.NaN : sb.iso().value())) {
      return "ISO values differ";
    }
    String serialA = a.body().serial();
    String serialB = b.body().serial();
    if (serialA != null && serialB != null && !serialA.equals(serialB)) {
      return "serial numbers " + serialA + " and " + serialB;
    }
    return null;
  }

  private static boolean differ(double a, double b) {
    return Double.isNaN(a) != Double.isNaN(b) || Math.abs(a - b) > SAME * a;
  }

  /** Says of frames without a time where their names put them. */
  static void placeByName(NavigableMap<String, Frame> frames) {
    for (Map.Entry<String, Frame> e : frames.entrySet()) {
      Frame f = e.getValue();
      if (f.time() != null) {
        continue;
      }
      String before = neighbour(frames, e.getKey(), false);
      String after = neighbour(frames, e.getKey(), true);
      String action =
          before == null && after == null
              ? NO_TIME
              : NO_TIME
                  + "; by its name it comes "
                  + (before == null
                      ? "before " + after
                      : after == null ? "after " + before : "between " + before + " and " + after);
      List<Finding> findings = new ArrayList<>();
      for (Finding g : f.findings()) {
        findings.add(
            g.rule().equals(TIME_RULE)
                ? new Finding(g.file(), g.offset(), g.rule(), g.actual(), action)
                : g);
      }
      e.setValue(f.withFindings(findings));
    }
  }

  private static @Nullable String neighbour(
      NavigableMap<String, Frame> frames, String name, boolean up) {
    String folder = name.substring(0, name.lastIndexOf('/') + 1);
    String n = name;
    for (int steps = 0; steps < 1000; steps++) {
      n = up ? frames.higherKey(n) : frames.lowerKey(n);
      if (n == null || !n.startsWith(folder)) {
        return null;
      }
      Frame f = frames.get(n);
      if (n.lastIndexOf('/') + 1 == folder.length() && f != null && f.time() != null) {
        return n;
      }
    }
    return null;
  }

  /** The findings of a frame's own reading, without those that a shoot adds. */
  static Frame alone(Frame f) {
    List<Finding> own = new ArrayList<>();
    for (Finding g : f.findings()) {
      if (g.rule().equals(STEM_RULE)) {
        continue;
      }
      own.add(
          g.rule().equals(TIME_RULE)
              ? new Finding(g.file(), g.offset(), g.rule(), g.actual(), NO_TIME)
              : g);
    }
    Frame plain = f.paired() == null ? f : f.withPaired(null);
    return own.equals(f.findings()) ? plain : plain.withFindings(own);
  }
}
