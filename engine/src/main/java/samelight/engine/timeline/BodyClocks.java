package samelight.engine.timeline;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.BodyId;
import samelight.engine.frame.Frame;
import samelight.engine.frame.SmallImage;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.likeness.Look;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.quantity.Kelvin;

/**
 * The clocks of all bodies: as stated, else as the pictures show, else by the time zones that the
 * cameras recorded (Exif 2.31, OffsetTimeOriginal), else unknown. The body with most frames gives
 * the shoot its time.
 */
public final class BodyClocks {
  /** Pictures of one body are looked at this far apart at least, in seconds. */
  private static final double APART = 15;

  private BodyClocks() {}

  /**
   * Finds the clocks.
   *
   * @param frames all frames, in any order
   * @param stated seconds to add to a body's clock, by body id
   * @param memory of what earlier looks at the pictures showed
   * @return a clock for each body, the one that gives the shoot its time first
   */
  public static List<BodyClock> of(
      List<Frame> frames, Map<String, Double> stated, ComparisonMemory memory) {
    Map<String, List<TimedFrame>> bodies = new TreeMap<>();
    for (TimedFrame f : Timeline.of(frames, Map.of(), new ArrayList<>())) {
      bodies.computeIfAbsent(f.frame().body().id(), b -> new ArrayList<>()).add(f);
    }
    List<String> order = new ArrayList<>(bodies.keySet());
    order.sort(Comparator.comparingInt((String b) -> -own(bodies, b).size()));
    List<BodyClock> out = new ArrayList<>();
    List<ClockFromLight.Moment> shoot = null;
    ZoneOffset zone = null;
    for (String body : order) {
      List<TimedFrame> own = own(bodies, body);
      BodyId id = own.get(0).frame().body();
      Double given = stated.get(body);
      boolean first = out.isEmpty();
      if (first) {
        zone = zone(own);
        out.add(
            new BodyClock(
                id,
                given == null ? 0 : given,
                null,
                given == null ? BodyClock.Source.SHOOT : BodyClock.Source.STATED));
        continue;
      }
      if (given != null) {
        out.add(new BodyClock(id, given, null, BodyClock.Source.STATED));
        continue;
      }
      if (shoot == null) {
        shoot = moments(own(bodies, order.get(0)), out.get(0).offsetSeconds(), memory);
      }
      out.add(found(id, own, shoot, zone, memory));
    }
    return List.copyOf(out);
  }

  private static BodyClock found(
      BodyId id,
      List<TimedFrame> own,
      List<ClockFromLight.Moment> shoot,
      @Nullable ZoneOffset zone,
      ComparisonMemory memory) {
    ClockFromLight.Offset offset = ClockFromLight.align(shoot, moments(own, 0, memory));
    if (offset != null) {
      return new BodyClock(
          id, Math.rint(offset.seconds()), offset.sigma(), BodyClock.Source.PICTURES);
    }
    ZoneOffset theirs = zone(own);
    int apart =
        zone == null || theirs == null ? 0 : zone.getTotalSeconds() - theirs.getTotalSeconds();
    return apart == 0
        ? new BodyClock(id, 0, null, BodyClock.Source.UNKNOWN)
        : new BodyClock(id, apart, null, BodyClock.Source.ZONE);
  }

  private static List<TimedFrame> own(Map<String, List<TimedFrame>> bodies, String body) {
    return bodies.getOrDefault(body, List.of());
  }

  /** The zone that most frames name, or null. */
  private static @Nullable ZoneOffset zone(List<TimedFrame> frames) {
    Map<ZoneOffset, Integer> count = new HashMap<>();
    for (TimedFrame f : frames) {
      var time = f.frame().time();
      ZoneOffset z = time == null ? null : time.offset();
      if (z != null) {
        count.merge(z, 1, Integer::sum);
      }
    }
    return count.entrySet().stream()
        .max(
            Map.Entry.<ZoneOffset, Integer>comparingByValue()
                .thenComparing(Map.Entry.comparingByKey()))
        .map(Map.Entry::getKey)
        .orElse(null);
  }

  private static List<ClockFromLight.Moment> moments(
      List<TimedFrame> frames, double offset, ComparisonMemory memory) {
    List<ClockFromLight.Moment> out = new ArrayList<>();
    double last = Double.NEGATIVE_INFINITY;
    for (TimedFrame f : frames) {
      if (f.frame().time() == null || f.seconds() - last < APART) {
        continue;
      }
      last = f.seconds();
      SmallImage small = f.frame().picture().small();
      double light = Double.NaN;
      if (small != null) {
        light =
            new Look(small, f.frame().picture().orientation(), BodyResponse.SRGB, memory)
                    .facts()
                    .brightness()
                + f.ev();
      }
      Kelvin kelvin = f.frame().whiteBalance().point().kelvin();
      out.add(
          new ClockFromLight.Moment(
              f.seconds() + offset,
              light,
              kelvin == null ? Double.NaN : kelvin.toMired().value(),
              f.frame().flashFired()));
    }
    return out;
  }

  /** Seconds to add to each body's clock, by body id. */
  public static Map<String, Double> offsets(List<BodyClock> clocks) {
    Map<String, Double> out = new LinkedHashMap<>();
    for (BodyClock c : clocks) {
      out.put(c.body().id(), c.offsetSeconds());
    }
    return out;
  }
}
