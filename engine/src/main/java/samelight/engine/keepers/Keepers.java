package samelight.engine.keepers;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** Proposes which frames of each framing to keep. A pure function. */
public final class Keepers {
  /** Sharpness within this share of the sharpest is alike: other things decide. */
  private static final double ALIKE = 0.95;

  /** Below this share of the sharpest a frame is called soft, and the kind of blur is told. */
  private static final double SOFT = 0.85;

  /** Alone and below this share of the shoot's median: somebody should look. */
  private static final double SOFT_ALONE = 0.5;

  /** More clipped than the best of its framing by this share of the pixels. */
  private static final double CLIPPED = 0.02;

  /** Farther than this from its framing's median exposure, in stops, is far off. */
  private static final double FAR_OFF = 1;

  private Keepers() {}

  /**
   * Proposes.
   *
   * @param framings every frame's path once, in framings
   * @param qualities what was measured, by frame
   * @param settled frames that a person rated or decided on: never proposed against, and the reason
   * @param keep how many of each framing to keep, 1 or more
   * @return one for each frame, in the order of the framings
   * @throws IllegalArgumentException if {@code keep} is less than 1
   */
  public static List<Take> propose(
      List<List<String>> framings,
      Map<String, FrameQuality> qualities,
      Map<String, String> settled,
      int keep) {
    if (keep < 1) {
      throw new IllegalArgumentException("at least 1 frame a framing must be kept, was " + keep);
    }
    double median = median(qualities);
    List<Take> out = new ArrayList<>();
    for (List<String> framing : framings) {
      out.addAll(propose(framing, qualities, settled, keep, median));
    }
    return out;
  }

  private static double median(Map<String, FrameQuality> qualities) {
    double[] all =
        qualities.values().stream()
            .map(FrameQuality::sharpness)
            .filter(java.util.Objects::nonNull)
            .mapToDouble(Sharpness::value)
            .sorted()
            .toArray();
    return all.length == 0 ? 0 : all[all.length / 2];
  }

  /** One framing under work. */
  private static final class Row {
    final String frame;
    final @Nullable Sharpness sharpness;
    final boolean atFocusPoint;
    double stops;

    Row(String frame, @Nullable FrameQuality quality) {
      this.frame = frame;
      this.sharpness = quality == null ? null : quality.sharpness();
      this.atFocusPoint = quality != null && quality.atFocusPoint();
    }

    double value() {
      return sharpness == null ? 0 : sharpness.value();
    }

    boolean farOff() {
      return Math.abs(stops) > FAR_OFF;
    }
  }

  private static List<Take> propose(
      List<String> framing,
      Map<String, FrameQuality> qualities,
      Map<String, String> settled,
      int keep,
      double median) {
    List<Row> rows = new ArrayList<>();
    for (String frame : framing) {
      rows.add(new Row(frame, qualities.get(frame)));
    }
    double[] brightness =
        rows.stream()
            .filter(r -> r.sharpness != null)
            .mapToDouble(r -> r.sharpness == null ? 0 : r.sharpness.brightness())
            .toArray();
    Arrays.sort(brightness);
    for (Row r : rows) {
      if (r.sharpness != null) {
        r.stops = r.sharpness.brightness() - brightness[brightness.length / 2];
      }
    }
    double best = rows.stream().mapToDouble(Row::value).max().orElse(0);
    List<Row> ranked = new ArrayList<>(rows);
    ranked.sort(order(best, rows));
    Set<Row> kept = new HashSet<>();
    for (Row r : ranked) {
      if (settled.containsKey(r.frame) || r.sharpness == null) {
        kept.add(r); // a person's word, or nothing known: never proposed against
      }
    }
    int measured = 0;
    for (Row r : ranked) {
      if (kept.contains(r)) {
        measured += r.sharpness == null ? 0 : 1;
      }
    }
    for (Row r : ranked) {
      if (measured < keep && kept.add(r)) {
        measured++;
      }
    }
    Row sharpest = ranked.get(0);
    Map<Row, Integer> place = new HashMap<>();
    rows.forEach(r -> place.put(r, place.size()));
    Row nearest = sharpest;
    List<Take> out = new ArrayList<>();
    for (Row r : rows) {
      nearest = nearest(r, ranked, kept);
      out.add(take(r, framing, kept.contains(r), nearest, sharpest, best, settled, median));
    }
    return out;
  }

  /** The best kept frame. */
  private static Row nearest(Row r, List<Row> ranked, Set<Row> kept) {
    for (Row k : ranked) {
      if (k != r && kept.contains(k) && k.sharpness != null) {
        return k;
      }
    }
    return r;
  }

  /** Best first: not far off in exposure, sharper, less clipped, nearer the median, earlier. */
  private static Comparator<Row> order(double best, List<Row> rows) {
    double least =
        rows.stream()
            .filter(r -> r.sharpness != null)
            .mapToDouble(r -> r.sharpness == null ? 0 : r.sharpness.clipped())
            .min()
            .orElse(0);
    return Comparator.comparing((Row r) -> r.sharpness == null)
        .thenComparing(Row::farOff)
        .thenComparing(r -> -Math.min(r.value(), ALIKE * best))
        .thenComparing(r -> r.sharpness != null && r.sharpness.clipped() > least + CLIPPED)
        .thenComparing(r -> -r.value())
        .thenComparing(r -> Math.abs(r.stops))
        .thenComparing(r -> r.frame);
  }

  private static Take take(
      Row r,
      List<String> framing,
      boolean keep,
      Row similar,
      Row sharpest,
      double best,
      Map<String, String> settled,
      double median) {
    Sharpness s = r.sharpness;
    Double share = s == null ? null : best <= 0 ? 1.0 : Math.min(1, s.value() / best);
    String eyes = "";
    String reason;
    String person = settled.get(r.frame);
    boolean alone = framing.size() == 1;
    if (person != null) {
      reason = person;
    } else if (s == null) {
      reason = "not measured: no preview of sufficient size";
      eyes = reason;
    } else if (keep) {
      reason = alone ? "alone in its framing" : "the best of " + framing.size() + " alike";
      if (alone && s.value() < SOFT_ALONE * median) {
        eyes = "alone in its framing, and softer than most of the shoot";
      } else if (!alone && share != null && share < ALIKE) {
        reason = "among the best of " + framing.size() + " alike";
      }
    } else {
      reason = why(r, s, similar, sharpest);
    }
    return new Take(
        r.frame,
        framing.get(0),
        framing.size(),
        keep,
        keep ? null : similar.frame,
        reason,
        eyes,
        share,
        r.atFocusPoint,
        s == null ? null : s.clipped(),
        s == null || alone ? null : Double.valueOf(r.stops));
  }

  private static String why(Row r, Sharpness s, Row similar, Row sharpest) {
    String name = similar.frame.substring(similar.frame.lastIndexOf('/') + 1);
    StringBuilder why = new StringBuilder("similar to " + name);
    Sharpness other = similar.sharpness;
    double left = other == null || other.value() <= 0 ? 1 : s.value() / other.value();
    if (left < ALIKE) {
      why.append(String.format(Locale.ROOT, ", softer (%.0f %% of its sharpness", 100 * left));
      Sharpness best = sharpest.sharpness;
      if (left < SOFT && best != null) {
        why.append(s.moved(best) ? ", probably motion blur" : ", probably out of focus");
      }
      why.append(")");
    } else {
      why.append(", as sharp");
    }
    if (other != null && s.clipped() > other.clipped() + CLIPPED) {
      why.append(String.format(Locale.ROOT, ", highlights clipped (%.0f %%)", 100 * s.clipped()));
    }
    if (r.farOff()) {
      why.append(
          String.format(Locale.ROOT, ", exposure far off (%+.1f stops as rendered)", r.stops));
    }
    return why.toString();
  }
}
