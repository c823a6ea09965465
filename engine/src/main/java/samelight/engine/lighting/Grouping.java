package samelight.engine.lighting;

import java.util.List;
import samelight.engine.timeline.Section;

/**
 * Sections and groups of a shoot.
 *
 * @param sections in the order of the day
 * @param groups in the order of the day
 */
public record Grouping(List<Section> sections, List<LightingGroup> groups) {
  /** Copies its lists. */
  public Grouping {
    sections = List.copyOf(sections);
    groups = List.copyOf(groups);
  }
}
