package samelight.engine.photometry;

import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.CaptureSettings;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.ExposureTime;
import samelight.engine.quantity.FNumber;
import samelight.engine.quantity.Iso;

/**
 * The exact exposure steps of one body. Cameras work in fractions of a stop and mark rounded
 * numbers: f/5.6 is 2^2.5, 1/125 s is 2^-7 s, ISO 1250 is 100 &times; 2^(11/3). Marks are off by up
 * to 0.14 stop each (f/1.2 in thirds), and some are marks of halves and of thirds alike: f/2.5,
 * f/3.5, f/4.5, f/13, 1/10 s, 1/20 s. So the body's step set is found first, from all its frames.
 *
 * <p>Aperture, time and sensitivity are judged apart, each by its distinct marks. A set is the
 * body's when the marks that only this set has outnumber those of the other, with at least two of
 * them; else aperture and time are judged together, since one setting of the camera rules both
 * (common practice, no source). Two half-stop marks are asked for because the widest opening of a
 * lens (f/1.7, f/3.3) is no step. Without evidence for halves, thirds are taken (common practice,
 * no source). A setting follows steps only when more than half of its distinct values, or three
 * quarters of its frames, are marks of the set: an electronic shutter that takes any time isn't
 * snapped. Single values that fit no step (f/4.2 of a zoom, ISO 65535) stay as read.
 */
public final class ExposureSteps {
  private final StepSet aperture;
  private final StepSet time;
  private final StepSet iso;
  private final String words;

  private ExposureSteps(@Nullable StepSet aperture, @Nullable StepSet time, @Nullable StepSet iso) {
    this.words = words(aperture, time, iso);
    this.aperture = aperture == null ? StepSet.NONE : aperture;
    this.time = time == null ? StepSet.NONE : time;
    this.iso = iso == null ? StepSet.NONE : iso;
  }

  /**
   * Finds the steps of a body.
   *
   * @param settings the settings of all its frames, in any order; unknown values are passed over
   */
  public static ExposureSteps of(Collection<CaptureSettings> settings) {
    Tally apertures = new Tally(MarkScale.APERTURE);
    Tally times = new Tally(MarkScale.TIME);
    Tally isos = new Tally(MarkScale.ISO);
    for (CaptureSettings s : settings) {
      FNumber fNumber = s.fNumber();
      if (fNumber != null) {
        apertures.add(fNumber.value());
      }
      ExposureTime exposureTime = s.exposureTime();
      if (exposureTime != null) {
        times.add(exposureTime.seconds());
      }
      Iso sensitivity = s.iso();
      if (sensitivity != null) {
        isos.add(sensitivity.value());
      }
    }
    int half = apertures.half() + times.half();
    int third = apertures.third() + times.third();
    StepSet both = half > third && half >= 2 ? StepSet.HALF : StepSet.THIRD;
    return new ExposureSteps(
        apertures.verdict(apertures.judge(both)),
        times.verdict(times.judge(both)),
        isos.verdict(isos.judgeSensitivity()));
  }

  /** The aperture's step set. */
  public StepSet aperture() {
    return aperture;
  }

  /** The exposure time's step set. */
  public StepSet time() {
    return time;
  }

  /** The sensitivity's step set. */
  public StepSet iso() {
    return iso;
  }

  /**
   * The step sets in words: "third stops" where all agree (whole stops agree with any), else each,
   * e.g. "aperture as read, time third stops, ISO sixth stops"; "unknown" without any settings.
   */
  public String describe() {
    return words;
  }

  /**
   * The exact settings behind marked ones.
   *
   * @param marked settings of a frame of this body
   * @return exact steps; values that fit no step as read
   */
  public ExactSettings exact(CaptureSettings marked) {
    FNumber f = marked.fNumber();
    if (f != null) {
      f = new FNumber(snap(MarkScale.APERTURE, aperture, f.value()));
    }
    ExposureTime t = marked.exposureTime();
    if (t != null) {
      t = new ExposureTime(snap(MarkScale.TIME, time, t.seconds()));
    }
    Iso s = marked.iso();
    if (s != null) {
      s = new Iso(snap(MarkScale.ISO, iso, s.value()));
    }
    Ev ev = f == null || t == null || s == null ? null : ExposureValues.ev100(f, t, s);
    return new ExactSettings(t, f, s, words, ev);
  }

  private static double snap(MarkScale scale, StepSet set, double mark) {
    double stops = scale.exactStops(set, mark);
    return Double.isNaN(stops) ? mark : scale.value(stops);
  }

  private static String words(
      @Nullable StepSet aperture, @Nullable StepSet time, @Nullable StepSet iso) {
    Set<StepSet> known = new LinkedHashSet<>();
    StringBuilder each = new StringBuilder();
    note("aperture", aperture, known, each);
    note("time", time, known, each);
    note("ISO", iso, known, each);
    if (known.isEmpty()) {
      return "unknown";
    }
    if (known.size() > 1) {
      known.remove(StepSet.FULL);
    }
    return known.size() == 1 ? known.iterator().next().words() : each.toString();
  }

  private static void note(
      String name, @Nullable StepSet set, Set<StepSet> known, StringBuilder each) {
    if (set != null) {
      known.add(set);
      each.append(each.length() == 0 ? "" : ", ").append(name).append(' ').append(set.words());
    }
  }

  /** The distinct marks of one setting with their numbers of frames. */
  private static final class Tally {
    private final MarkScale scale;
    private final Map<Double, Integer> frames = new HashMap<>();

    Tally(MarkScale scale) {
      this.scale = scale;
    }

    void add(double mark) {
      frames.merge(mark, 1, Integer::sum);
    }

    /** Distinct marks of halves that are no marks of thirds. */
    int half() {
      return only(StepSet.HALF, StepSet.THIRD);
    }

    /** Distinct marks of thirds that are no marks of halves. */
    int third() {
      return only(StepSet.THIRD, StepSet.HALF);
    }

    private int only(StepSet set, StepSet other) {
      int count = 0;
      for (double mark : frames.keySet()) {
        if (fits(set, mark) && !fits(other, mark)) {
          count++;
        }
      }
      return count;
    }

    private boolean fits(StepSet set, double mark) {
      return !Double.isNaN(scale.exactStops(set, mark));
    }

    StepSet judge(StepSet otherwise) {
      int half = half();
      int third = third();
      if (half >= 2 && half > third) {
        return StepSet.HALF;
      }
      return third >= 2 && third > half ? StepSet.THIRD : otherwise;
    }

    StepSet judgeSensitivity() {
      int half = half();
      int third = third();
      int sixth =
          (int)
              frames.keySet().stream()
                  .filter(
                      m ->
                          fits(StepSet.SIXTH, m)
                              && !fits(StepSet.THIRD, m)
                              && !fits(StepSet.HALF, m))
                  .count();
      if (sixth > 0 || (half > 0 && third > 0)) {
        return StepSet.SIXTH;
      }
      return half >= 2 ? StepSet.HALF : StepSet.THIRD;
    }

    /** The set, or whole stops where no finer one was seen, or none; null without any values. */
    @Nullable StepSet verdict(StepSet set) {
      if (frames.isEmpty()) {
        return null;
      }
      int fitting = 0;
      int whole = 0;
      long framesFitting = 0;
      long framesAll = 0;
      for (Map.Entry<Double, Integer> mark : frames.entrySet()) {
        framesAll += mark.getValue();
        if (fits(set, mark.getKey())) {
          fitting++;
          framesFitting += mark.getValue();
        }
        if (fits(StepSet.FULL, mark.getKey())) {
          whole++;
        }
      }
      if (2 * fitting <= frames.size() && 4 * framesFitting < 3 * framesAll) {
        return StepSet.NONE;
      }
      return whole == fitting ? StepSet.FULL : set;
    }
  }
}
