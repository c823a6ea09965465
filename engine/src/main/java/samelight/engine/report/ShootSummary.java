package samelight.engine.report;

import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Finding;
import samelight.engine.keepers.Keeping;
import samelight.engine.keepers.Take;
import samelight.engine.match.Match;
import samelight.engine.metadata.Category;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;
import samelight.engine.quantity.Luminance;
import samelight.engine.timeline.BodyClock;

/**
 * A shoot in figures.
 *
 * @param frames number of frames
 * @param bodies the bodies
 * @param sections sections in the order of the day, each with its groups
 * @param unmatched frames without an exposure match, and why
 * @param rejected frames rated -1: they get no recipe and stay witnesses
 * @param editedBefore frames edited before the first carry: they are left alone
 * @param account how many files each category has; the sum is the number of files in the folder
 * @param notFrames files that aren't frames, by path
 * @param findings all findings, of reading and of the analysis
 * @param keepers what was asked of the keepers and what they proposed; nothing before they were
 *     asked
 */
public record ShootSummary(
    int frames,
    List<BodyLine> bodies,
    List<SectionLine> sections,
    Map<String, String> unmatched,
    List<String> rejected,
    List<String> editedBefore,
    Map<Category, Integer> account,
    SortedMap<String, Category> notFrames,
    List<Finding> findings,
    Keeping keepers) {

  /** The groups without the frames that are proposed out or rated -1; empty groups are gone. */
  public ShootSummary kept() {
    Set<String> out = new HashSet<>(rejected);
    proposedOut().forEach(t -> out.add(t.frame()));
    List<SectionLine> fewer = new ArrayList<>();
    for (SectionLine section : sections) {
      List<GroupLine> groups = new ArrayList<>();
      for (GroupLine group : section.groups()) {
        List<FrameLine> frames =
            group.frames().stream().filter(f -> !out.contains(f.file())).toList();
        if (!frames.isEmpty()) {
          groups.add(group.with(frames));
        }
      }
      fewer.add(
          new SectionLine(section.id(), section.name(), section.from(), section.to(), groups));
    }
    return new ShootSummary(
        frames,
        bodies,
        fewer,
        unmatched,
        rejected,
        editedBefore,
        account,
        notFrames,
        findings,
        keepers);
  }

  /** What the keepers proposed to leave out. */
  public List<Take> proposedOut() {
    return keepers.takes().stream().filter(t -> !t.keep()).toList();
  }

  /** One body. */
  public record BodyLine(BodyClock clock, int frames) {}

  /** One section with its groups; times are the shoot's, null where no frame has one. */
  public record SectionLine(
      String id,
      String name,
      @Nullable LocalDateTime from,
      @Nullable LocalDateTime to,
      List<GroupLine> groups) {
    /** Frames in the section. */
    public int frames() {
      return groups.stream().mapToInt(g -> g.frames().size()).sum();
    }
  }

  /**
   * One group.
   *
   * @param from shoot time of its first frame, or null
   * @param to shoot time of its last frame, or null
   * @param reference path of its reference
   * @param graded whether the photographer stated a grade for the reference
   * @param frames its frames, in the order of the day, the reference among them
   * @param framesPerBody frames by body id
   * @param light median light of the scene, EV100, or null where none is known
   * @param luminance the same as a luminance, or null
   * @param kelvin lowest, median and highest colour temperature, or null where none is known
   * @param isoLow lowest ISO, or null
   * @param isoHigh highest ISO, or null
   * @param flashFired frames with flash
   * @param spread largest less smallest match, or null where there are no matches
   */
  public record GroupLine(
      String id,
      @Nullable LocalDateTime from,
      @Nullable LocalDateTime to,
      String reference,
      boolean graded,
      List<FrameLine> frames,
      SortedMap<String, Integer> framesPerBody,
      @Nullable Ev light,
      @Nullable Luminance luminance,
      @Nullable KelvinRange kelvin,
      @Nullable Double isoLow,
      @Nullable Double isoHigh,
      int flashFired,
      @Nullable Ev spread) {
    /** The same group with only these of its frames. */
    GroupLine with(List<FrameLine> fewer) {
      SortedMap<String, Integer> perBody = new TreeMap<>();
      fewer.forEach(f -> perBody.merge(f.body(), 1, Integer::sum));
      return new GroupLine(
          id,
          from,
          to,
          reference,
          graded,
          fewer,
          perBody,
          light,
          luminance,
          kelvin,
          isoLow,
          isoHigh,
          flashFired,
          spread);
    }

    /** Frames that a person should look at. */
    public List<FrameLine> needEyes() {
      return frames.stream().filter(f -> !f.needsEyes().isEmpty()).toList();
    }
  }

  /** Colour temperatures as shot. */
  public record KelvinRange(Kelvin low, Kelvin median, Kelvin high) {}

  /**
   * One frame of a group.
   *
   * @param time shoot time, or null
   * @param match its match, or null where there is none
   * @param light light of its scene in EV100, or null
   * @param kelvin colour temperature that the camera balanced for, or null
   * @param flash whether a flash fired
   * @param framing number of its framing; frames of one number show the same picture
   */
  public record FrameLine(
      String file,
      String body,
      @Nullable LocalDateTime time,
      @Nullable Match match,
      @Nullable Ev light,
      @Nullable Kelvin kelvin,
      boolean flash,
      int framing) {
    /** Reasons why a person should look; empty when none. */
    public List<String> needsEyes() {
      return match == null ? List.of() : match.needsEyes();
    }
  }

  /** Number of groups. */
  public int groups() {
    return sections.stream().mapToInt(s -> s.groups().size()).sum();
  }

  /** Number of frames that a person should look at. */
  public int needEyes() {
    return sections.stream()
        .flatMap(s -> s.groups().stream())
        .mapToInt(g -> g.needEyes().size())
        .sum();
  }

  /** Number of files under the shoot. */
  public int files() {
    return account.values().stream().mapToInt(Integer::intValue).sum();
  }
}
