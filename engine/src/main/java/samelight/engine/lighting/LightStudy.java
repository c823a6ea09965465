package samelight.engine.lighting;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.timeline.TimedFrame;

/**
 * What was found out about the light of a shoot: differences of frames, and the groups that follow
 * under the photographer's decisions.
 */
public final class LightStudy {
  private final List<TimedFrame> frames;
  private final Map<String, Integer> index = new HashMap<>();
  private final RenderingEstimate estimate;
  private final LightModel model;
  private final Cautions cautions;
  private final Map<String, BodyResponse> responses;
  private final List<GroupDraft> found;

  private LightStudy(LightModel model, Map<String, BodyResponse> responses, Set<String> apart) {
    this.frames = model.frames;
    this.model = model;
    this.responses = responses;
    int[] sections = new SectionFinder(model).find();
    this.estimate = new SharedContentEstimate(model, sections);
    this.cautions = new Cautions(model);
    this.found = new GroupFinder(model, sections, apart).find();
    for (TimedFrame f : frames) {
      index.put(f.frame().file(), f.index());
    }
  }

  /**
   * Studies a shoot.
   *
   * @param frames all frames in the order of the day
   * @param apart paths of frames that belong to no group, such as brackets; they stay witnesses
   * @param memory of what earlier looks at the pictures showed; it changes nothing but the time
   */
  public static LightStudy of(List<TimedFrame> frames, Set<String> apart, ComparisonMemory memory) {
    FramingFinder.Found found = Framings.find(frames, memory).crops();
    Views views = new Views(frames, found.responses(), memory);
    List<LightLink> links = new LinkFinder(frames, found.framings(), views).find();
    LightModel model = new LightModel(frames, found, links, views, LensLoss.NONE);
    LensLoss lenses = LensLoss.learn(frames, model.stepsAtOnce());
    if (!lenses.isEmpty()) {
      List<TimedFrame> corrected = frames.stream().map(f -> f.losing(lenses.stops(f))).toList();
      model = new LightModel(corrected, found, links, views, lenses);
    }
    return new LightStudy(model, found.responses(), apart);
  }

  /**
   * Sections and groups under these decisions. Pictures aren't looked at again, so that this takes
   * milliseconds for a shoot of 4,000 frames.
   *
   * @param ineligible paths of frames that can't be proposed as a reference, such as rejected ones
   * @param decisions of the photographer
   */
  public Grouping grouping(Set<String> ineligible, Decisions decisions) {
    return new GroupBuilder(model, index, ineligible, decisions).build(found);
  }

  /** All frames in the order of the day, with what their lenses lose. */
  public List<TimedFrame> frames() {
    return frames;
  }

  /** Number of the framing of each frame, in the order of the day, by path. */
  public Map<String, Integer> framings() {
    Map<String, Integer> framings = new HashMap<>();
    for (TimedFrame f : frames) {
      framings.put(f.frame().file(), model.framingOf[f.index()]);
    }
    return framings;
  }

  /** What each body's rendering answers to exposure, by body id. */
  public Map<String, BodyResponse> responses() {
    return responses;
  }

  /**
   * How a frame differs from another.
   *
   * @throws IllegalArgumentException if a path isn't a frame of the study
   */
  public LightDifference difference(String frame, String other) {
    int f = find(frame);
    int g = find(other);
    LightDifference d = estimate.between(f, g);
    return d.with(cautions.of(f, g, d));
  }

  /** Light of a frame's scene in EV100 by brightness and settings, or NaN where unknown. */
  public double sceneLight(String frame) {
    return model.sceneLight(find(frame));
  }

  private int find(String frame) {
    Integer i = index.get(frame);
    if (i == null) {
      throw new IllegalArgumentException("no such frame in the study: " + frame);
    }
    return i;
  }
}
