package samelight.engine.store;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import samelight.engine.AnalysisOptions;
import samelight.engine.keepers.Keeping;
import samelight.engine.lighting.Decisions;
import samelight.engine.match.Grade;

/**
 * All that the photographer decided about a shoot. It names frames and bodies, never groups, so
 * that it outlives every regrouping.
 *
 * @param lighting references, splits, joins, moves, frames left out, names of sections
 * @param clocks seconds to add to a body's clock, by body id
 * @param grades grades stated without a raw editor, by frame
 * @param follow see {@link AnalysisOptions#follow}
 * @param keepers what was asked of the keepers and what they proposed
 */
public record PhotographerDecisions(
    Decisions lighting,
    Map<String, Double> clocks,
    Map<String, Grade> grades,
    double follow,
    Keeping keepers) {

  /** Nothing decided yet. */
  public static final PhotographerDecisions NONE =
      new PhotographerDecisions(Decisions.NONE, Map.of(), Map.of(), 1);

  /** Without anything asked of the keepers. */
  public PhotographerDecisions(
      Decisions lighting, Map<String, Double> clocks, Map<String, Grade> grades, double follow) {
    this(lighting, clocks, grades, follow, Keeping.NONE);
  }

  /** Copies its collections, in their order. */
  public PhotographerDecisions {
    clocks = Collections.unmodifiableMap(new LinkedHashMap<>(clocks));
    grades = Collections.unmodifiableMap(new LinkedHashMap<>(grades));
  }

  /** What an analysis needs to know of them. */
  public AnalysisOptions options(Set<String> editedBefore) {
    return new AnalysisOptions(clocks, lighting, editedBefore, follow, keepers.proposedOut());
  }

  /** The frame becomes the reference of the group that it falls into. */
  public PhotographerDecisions withReference(String frame) {
    List<String> references = new ArrayList<>(lighting.references());
    references.remove(frame);
    references.add(frame);
    return with(lighting.withReferences(references));
  }

  /** A new group starts at the frame; a split outranks a join. */
  public PhotographerDecisions withSplit(String frame) {
    List<String> splits = new ArrayList<>(lighting.splits());
    splits.remove(frame);
    splits.add(frame);
    return with(lighting.withSplits(splits));
  }

  /** The groups of the two frames are one. */
  public PhotographerDecisions withJoin(String first, String second) {
    List<Decisions.Join> joins = new ArrayList<>(lighting.joins());
    Decisions.Join join = new Decisions.Join(first, second);
    joins.remove(join);
    joins.remove(new Decisions.Join(second, first));
    joins.add(join);
    return with(lighting.withJoins(joins));
  }

  /** These splits are taken back. */
  public PhotographerDecisions withoutSplits(Collection<String> frames) {
    List<String> splits = new ArrayList<>(lighting.splits());
    splits.removeAll(frames);
    return with(lighting.withSplits(splits));
  }

  /** These frames belong to no group and get no recipe. */
  public PhotographerDecisions withLeftOut(Collection<String> frames) {
    Set<String> out = new LinkedHashSet<>(lighting.leftOut());
    out.addAll(frames);
    return with(lighting.withLeftOut(List.copyOf(out)));
  }

  /** These frames are no longer left out. */
  public PhotographerDecisions withoutLeftOut(Collection<String> frames) {
    List<String> out = new ArrayList<>(lighting.leftOut());
    out.removeAll(frames);
    return with(lighting.withLeftOut(out));
  }

  /** Without the grade of the frame. */
  public PhotographerDecisions withoutGrade(String frame) {
    Map<String, Grade> fewer = new LinkedHashMap<>(grades);
    fewer.remove(frame);
    return new PhotographerDecisions(lighting, clocks, fewer, follow, keepers);
  }

  /** With these decisions about groups instead. */
  public PhotographerDecisions withLighting(Decisions other) {
    return with(other);
  }

  /** The frame's grade. */
  public PhotographerDecisions withGrade(String frame, Grade grade) {
    Map<String, Grade> more = new LinkedHashMap<>(grades);
    more.put(frame, grade);
    return new PhotographerDecisions(lighting, clocks, more, follow, keepers);
  }

  /** Seconds to add to bodies' clocks; other bodies keep what was stated earlier. */
  public PhotographerDecisions withClocks(Map<String, Double> offsets) {
    Map<String, Double> more = new LinkedHashMap<>(clocks);
    more.putAll(offsets);
    return new PhotographerDecisions(lighting, more, grades, follow, keepers);
  }

  /** What was asked of the keepers, and what they proposed. */
  public PhotographerDecisions withKeepers(Keeping other) {
    return new PhotographerDecisions(lighting, clocks, grades, follow, other);
  }

  /** How much of what the light did is compensated, 0 to 1. */
  public PhotographerDecisions withFollow(double share) {
    return new PhotographerDecisions(lighting, clocks, grades, share, keepers);
  }

  private PhotographerDecisions with(Decisions other) {
    return new PhotographerDecisions(other, clocks, grades, follow, keepers);
  }
}
