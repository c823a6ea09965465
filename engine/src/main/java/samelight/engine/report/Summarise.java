package samelight.engine.report;

import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.Analysis;
import samelight.engine.FrameLight;
import samelight.engine.frame.CaptureTime;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.keepers.Keeping;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Match;
import samelight.engine.metadata.Category;
import samelight.engine.metadata.ShootReading;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;
import samelight.engine.quantity.Luminance;
import samelight.engine.report.ShootSummary.BodyLine;
import samelight.engine.report.ShootSummary.FrameLine;
import samelight.engine.report.ShootSummary.GroupLine;
import samelight.engine.report.ShootSummary.KelvinRange;
import samelight.engine.report.ShootSummary.SectionLine;
import samelight.engine.timeline.BodyClock;
import samelight.engine.timeline.Section;

/** Works a {@link ShootSummary} out. */
public final class Summarise {
  private final Map<String, Frame> frames = new HashMap<>();
  private final Map<String, Double> offsets = new HashMap<>();
  private final Analysis analysis;
  private final Set<String> graded;

  private Summarise(List<Frame> all, Analysis analysis, Set<String> graded) {
    all.forEach(f -> frames.put(f.file(), f));
    analysis.bodies().forEach(b -> offsets.put(b.body().id(), b.offsetSeconds()));
    this.analysis = analysis;
    this.graded = graded;
  }

  /**
   * Sums a shoot up.
   *
   * @param reading what was read
   * @param analysis what was found in it
   * @param graded frames for which a grade is known
   * @param editedBefore frames edited before the first carry
   * @param keepers what was asked of the keepers and what they proposed
   */
  public static ShootSummary of(
      ShootReading reading,
      Analysis analysis,
      Set<String> graded,
      Set<String> editedBefore,
      Keeping keepers) {
    return new Summarise(reading.frames(), analysis, graded)
        .summary(reading, editedBefore, keepers);
  }

  private ShootSummary summary(ShootReading reading, Set<String> editedBefore, Keeping keepers) {
    Map<String, Integer> perBody = new HashMap<>();
    reading.frames().forEach(f -> perBody.merge(f.body().id(), 1, Integer::sum));
    List<BodyLine> bodies = new ArrayList<>();
    for (BodyClock clock : analysis.bodies()) {
      bodies.add(new BodyLine(clock, perBody.getOrDefault(clock.body().id(), 0)));
    }
    Map<String, List<GroupLine>> bySection = new HashMap<>();
    for (LightingGroup group : analysis.groups()) {
      bySection.computeIfAbsent(group.section(), s -> new ArrayList<>()).add(group(group));
    }
    List<SectionLine> sections = new ArrayList<>();
    for (Section section : analysis.sections()) {
      sections.add(
          new SectionLine(
              section.id(),
              section.name(),
              section.from(),
              section.to(),
              bySection.getOrDefault(section.id(), List.of())));
    }
    SortedMap<String, Category> notFrames = new TreeMap<>(reading.files());
    notFrames.values().removeIf(c -> c == Category.FRAME || c == Category.PAIRED_JPEG);
    List<Finding> findings = new ArrayList<>(reading.findings());
    findings.addAll(analysis.findings());
    return new ShootSummary(
        reading.frames().size(),
        bodies,
        sections,
        new TreeMap<>(analysis.unmatched()),
        reading.frames().stream().filter(f -> f.marks().rejected()).map(Frame::file).toList(),
        editedBefore.stream().sorted().toList(),
        reading.counts(),
        notFrames,
        findings,
        keepers.current(reading.frames()));
  }

  private GroupLine group(LightingGroup group) {
    List<FrameLine> lines = new ArrayList<>();
    SortedMap<String, Integer> perBody = new TreeMap<>();
    List<Double> light = new ArrayList<>();
    List<Double> kelvin = new ArrayList<>();
    List<Double> iso = new ArrayList<>();
    List<Double> stops = new ArrayList<>();
    int flash = 0;
    LocalDateTime from = null;
    LocalDateTime to = null;
    for (String file : group.frames()) {
      Frame frame = frames.get(file);
      if (frame == null) {
        continue;
      }
      LocalDateTime time = shootTime(frame);
      if (time != null) {
        from = from == null || time.isBefore(from) ? time : from;
        to = to == null || time.isAfter(to) ? time : to;
      }
      Match match = analysis.matches().get(file);
      perBody.merge(frame.body().id(), 1, Integer::sum);
      FrameLight photometry = analysis.light().get(file);
      lines.add(
          new FrameLine(
              file,
              frame.body().id(),
              time,
              match,
              photometry == null ? null : photometry.sceneLight(),
              frame.whiteBalance().point().kelvin(),
              frame.flashFired(),
              analysis.framings().getOrDefault(file, -1 - lines.size())));
      if (photometry != null && photometry.sceneLight() != null) {
        light.add(photometry.sceneLight().stops());
      }
      var point = frame.whiteBalance().point().kelvin();
      if (point != null) {
        kelvin.add(point.value());
      }
      var marked = frame.settings().iso();
      if (marked != null) {
        iso.add(marked.value());
      }
      if (match != null) {
        stops.add(match.stops().stops());
      }
      flash += frame.flashFired() ? 1 : 0;
    }
    light.sort(null);
    kelvin.sort(null);
    iso.sort(null);
    stops.sort(null);
    Ev median = light.isEmpty() ? null : new Ev(median(light));
    return new GroupLine(
        group.id(),
        from,
        to,
        group.reference(),
        graded.contains(group.reference()),
        lines,
        perBody,
        median,
        median == null ? null : luminance(median),
        kelvin.isEmpty() ? null : range(kelvin),
        iso.isEmpty() ? null : iso.get(0),
        iso.isEmpty() ? null : iso.get(iso.size() - 1),
        flash,
        stops.isEmpty() ? null : new Ev(stops.get(stops.size() - 1) - stops.get(0)));
  }

  private @Nullable LocalDateTime shootTime(Frame frame) {
    CaptureTime time = frame.time();
    if (time == null) {
      return null;
    }
    double offset = offsets.getOrDefault(frame.body().id(), 0.0);
    return time.local().plusNanos(Math.round(offset * 1e9));
  }

  /** Scene luminance at K = 12.5: L = 2^(EV100 - 3) cd/m² (ISO 2720). */
  private static @Nullable Luminance luminance(Ev light) {
    double l = Math.pow(2, light.stops() - 3);
    return l > 0 && Double.isFinite(l) ? new Luminance(l) : null;
  }

  private static KelvinRange range(List<Double> sorted) {
    return new KelvinRange(
        new Kelvin(sorted.get(0)),
        new Kelvin(median(sorted)),
        new Kelvin(sorted.get(sorted.size() - 1)));
  }

  private static double median(List<Double> sorted) {
    int n = sorted.size();
    return n % 2 == 1 ? sorted.get(n / 2) : (sorted.get(n / 2 - 1) + sorted.get(n / 2)) / 2;
  }
}
