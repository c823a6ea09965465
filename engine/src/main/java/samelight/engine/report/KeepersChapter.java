package samelight.engine.report;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import samelight.engine.keepers.Keeping;
import samelight.engine.keepers.Take;
import samelight.engine.report.ShootSummary.GroupLine;
import samelight.engine.report.ShootSummary.SectionLine;

/**
 * What the keepers propose, in the words in which the page shows it.
 *
 * @param lede all of it in a sentence
 * @param parts sections of the day of which frames are proposed, in their order
 * @param asked pictures that were asked for, and when they were taken
 */
public record KeepersChapter(String lede, List<Part> parts, List<String> asked) {
  /** Where frames stand that are in no group. */
  private static final String ELSEWHERE = "In no group";

  /** Copies its lists. */
  public KeepersChapter {
    parts = List.copyOf(parts);
    asked = List.copyOf(asked);
  }

  /**
   * One section of the day.
   *
   * @param keep frames that are proposed to be kept
   * @param out frames that are proposed to be left out
   * @param eyes kept frames that a person should look at
   * @param choices framings in which there is something to look at; none where the frames
   *     themselves say it on this page
   */
  public record Part(
      String name, int frames, int framings, int keep, int out, int eyes, List<Choice> choices) {
    /** Copies its list. */
    public Part {
      choices = List.copyOf(choices);
    }
  }

  /** One framing, frame by frame. */
  public record Choice(List<Proposed> frames) {
    /** Copies its list. */
    public Choice {
      frames = List.copyOf(frames);
    }
  }

  /**
   * One frame.
   *
   * @param anchor of its group, or empty
   * @param sharpness share of the sharpest of its framing
   * @param clipped share of its pixels
   * @param brightness against its framing
   */
  public record Proposed(
      String name,
      String anchor,
      boolean keep,
      String proposal,
      String sharpness,
      String clipped,
      String brightness) {}

  /**
   * Puts the chapter together.
   *
   * @param anchor of a group
   * @param listed whether every framing is listed in which there is something to look at
   * @return null before the keepers were asked
   */
  static @Nullable KeepersChapter of(
      ShootSummary summary, Function<GroupLine, String> anchor, boolean listed) {
    Keeping keepers = summary.keepers();
    if (keepers.takes().isEmpty()) {
      return null;
    }
    Map<String, String> sections = new HashMap<>();
    Map<String, String> anchors = new HashMap<>();
    Map<String, List<List<Take>>> framings = new LinkedHashMap<>();
    Map<String, String> names = new HashMap<>();
    for (SectionLine section : summary.sections()) {
      names.put(section.id(), section.name());
      framings.put(section.id(), new ArrayList<>());
      for (GroupLine group : section.groups()) {
        group.frames().forEach(f -> sections.put(f.file(), section.id()));
        group.frames().forEach(f -> anchors.put(f.file(), anchor.apply(group)));
      }
    }
    framings.put(ELSEWHERE, new ArrayList<>());
    for (List<Take> framing : framings(keepers)) {
      framings.getOrDefault(section(framing, sections), List.of()).add(framing);
    }
    List<Part> parts = new ArrayList<>();
    framings.forEach(
        (section, own) -> {
          if (!own.isEmpty()) {
            parts.add(part(names.getOrDefault(section, section), own, anchors, listed));
          }
        });
    return new KeepersChapter(
        lede(parts), parts, keepers.musts().stream().map(Wording::asked).toList());
  }

  private static List<List<Take>> framings(Keeping keepers) {
    Map<String, List<Take>> framings = new LinkedHashMap<>();
    for (Take take : keepers.takes()) {
      framings.computeIfAbsent(take.framing(), f -> new ArrayList<>()).add(take);
    }
    return new ArrayList<>(framings.values());
  }

  private static String section(List<Take> framing, Map<String, String> sections) {
    for (Take take : framing) {
      String section = sections.get(take.frame());
      if (section != null) {
        return section;
      }
    }
    return ELSEWHERE;
  }

  private static Part part(
      String name, List<List<Take>> framings, Map<String, String> anchors, boolean listed) {
    int frames = 0;
    int out = 0;
    int eyes = 0;
    List<Choice> choices = new ArrayList<>();
    for (List<Take> framing : framings) {
      boolean chosen = false;
      for (Take take : framing) {
        frames++;
        out += take.keep() ? 0 : 1;
        eyes += take.needsEyes().isEmpty() ? 0 : 1;
        chosen |= !take.keep() || !take.needsEyes().isEmpty();
      }
      if (chosen && listed) {
        choices.add(new Choice(framing.stream().map(t -> proposed(t, anchors)).toList()));
      }
    }
    return new Part(name, frames, framings.size(), frames - out, out, eyes, choices);
  }

  private static Proposed proposed(Take t, Map<String, String> anchors) {
    Double sharpness = t.sharpness();
    Double clipped = t.clipped();
    Double stops = t.stops();
    return new Proposed(
        t.frame(),
        anchors.getOrDefault(t.frame(), ""),
        t.keep(),
        Wording.proposal(t),
        sharpness == null
            ? "not measured"
            : String.format(
                Locale.ROOT,
                "%.0f %%%s",
                100 * sharpness,
                t.atFocusPoint() ? " at its focus point" : ""),
        clipped == null ? "" : String.format(Locale.ROOT, "%.1f %%", 100 * clipped),
        stops == null ? "" : Wording.signed(stops) + " stop");
  }

  private static String lede(List<Part> parts) {
    int frames = parts.stream().mapToInt(Part::frames).sum();
    int out = parts.stream().mapToInt(Part::out).sum();
    int eyes = parts.stream().mapToInt(Part::eyes).sum();
    return Wording.count(frames, "frame")
        + " in "
        + Wording.count(parts.stream().mapToInt(Part::framings).sum(), "framing")
        + String.format(Locale.ROOT, ": propose to keep %,d, to leave out %,d", frames - out, out)
        + (eyes == 0
            ? "."
            : "; " + Wording.count(eyes, "kept frame needs eyes", "kept frames need eyes") + ".");
  }
}
