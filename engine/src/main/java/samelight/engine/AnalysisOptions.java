package samelight.engine;

import java.util.Map;
import java.util.Set;
import samelight.engine.lighting.Decisions;

/**
 * What the photographer stated before an analysis.
 *
 * @param clockOffsets seconds to add to a body's clock, by body id
 * @param decisions references, splits, joins and names
 * @param editedBefore frames edited before the first carry; they stay witnesses of the light
 * @param follow how much of a difference that the light itself made is compensated, 0 (an evening
 *     stays an evening) to 1 (all frames lit alike)
 * @param proposedOut frames that the keepers proposed out; unless a person rated them since they
 *     are no references, and stay witnesses of the light
 */
public record AnalysisOptions(
    Map<String, Double> clockOffsets,
    Decisions decisions,
    Set<String> editedBefore,
    double follow,
    Set<String> proposedOut) {

  /** Nothing stated. */
  public static final AnalysisOptions DEFAULT =
      new AnalysisOptions(Map.of(), Decisions.NONE, Set.of(), 1);

  /** With no frame proposed out. */
  public AnalysisOptions(
      Map<String, Double> clockOffsets,
      Decisions decisions,
      Set<String> editedBefore,
      double follow) {
    this(clockOffsets, decisions, editedBefore, follow, Set.of());
  }

  /**
   * @throws IllegalArgumentException if {@code follow} is out of range
   */
  public AnalysisOptions {
    clockOffsets = Map.copyOf(clockOffsets);
    editedBefore = Set.copyOf(editedBefore);
    proposedOut = Set.copyOf(proposedOut);
    if (!(follow >= 0 && follow <= 1)) {
      throw new IllegalArgumentException("follow must lie within 0 and 1, was " + follow);
    }
  }
}
