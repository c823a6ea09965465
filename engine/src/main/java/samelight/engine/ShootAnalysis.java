package samelight.engine;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightStudy;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.timeline.BodyClock;
import samelight.engine.timeline.BodyClocks;
import samelight.engine.timeline.Series;
import samelight.engine.timeline.TimedFrame;
import samelight.engine.timeline.Timeline;

/** The whole pipeline in one readable method: a pure function of frames and options. */
public final class ShootAnalysis {
  private ShootAnalysis() {}

  /**
   * Analyses a shoot.
   *
   * @param frames frames in any order; their paths must be distinct
   * @param options what the photographer stated
   * @return groups, references and matches; every frame is in one group or among the unmatched
   * @throws IllegalArgumentException if two frames have one path
   */
  public static Analysis of(List<Frame> frames, AnalysisOptions options) {
    return study(frames, options.clockOffsets()).analysis(options);
  }

  /**
   * Looks at a shoot so that it can be grouped under several decisions.
   *
   * @param frames frames in any order; their paths must be distinct
   * @param clockOffsets seconds to add to bodies' clocks, by body, as stated; they can't be changed
   *     later
   * @throws IllegalArgumentException if two frames have one path
   */
  public static StudiedShoot study(List<Frame> frames, Map<String, Double> clockOffsets) {
    return study(frames, clockOffsets, ComparisonMemory.NONE);
  }

  /**
   * The same with a memory of what earlier looks at the pictures showed; it changes nothing but the
   * time that it takes.
   *
   * @throws IllegalArgumentException if two frames have one path
   */
  public static StudiedShoot study(
      List<Frame> frames, Map<String, Double> clockOffsets, ComparisonMemory memory) {
    refuseDoubles(frames);
    List<Finding> findings = new ArrayList<>();
    List<BodyClock> clocks = BodyClocks.of(frames, clockOffsets, memory);
    List<TimedFrame> day = Timeline.of(frames, BodyClocks.offsets(clocks), findings);
    Map<String, String> apart = Series.apart(day);
    LightStudy study = LightStudy.of(day, apart.keySet(), memory);
    return new StudiedShoot(clocks, day, apart, study, findings);
  }

  private static void refuseDoubles(List<Frame> frames) {
    Set<String> seen = new HashSet<>();
    for (Frame f : frames) {
      if (!seen.add(f.file())) {
        throw new IllegalArgumentException("frame paths must be distinct, twice: " + f.file());
      }
    }
  }
}
