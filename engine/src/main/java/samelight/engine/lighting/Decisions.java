package samelight.engine.lighting;

import java.util.List;
import java.util.Map;

/**
 * What the photographer decided about groups. Decisions name frames, not groups, so that they
 * outlive every regrouping.
 *
 * @param references frames that are to be the reference of the group they fall into; of two in one
 *     group the later decision counts
 * @param splits frames at which a new group starts
 * @param joins pairs of frames whose groups are one
 * @param sectionNames names of sections by a frame of theirs
 */
public record Decisions(
    List<String> references,
    List<String> splits,
    List<Join> joins,
    Map<String, String> sectionNames) {

  /** No decision yet. */
  public static final Decisions NONE = new Decisions(List.of(), List.of(), List.of(), Map.of());

  /** Two frames whose groups are one. */
  public record Join(String first, String second) {}

  /** Copies its collections. */
  public Decisions {
    references = List.copyOf(references);
    splits = List.copyOf(splits);
    joins = List.copyOf(joins);
    sectionNames = Map.copyOf(sectionNames);
  }
}
