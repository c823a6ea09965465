package samelight.engine.sidecar;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * What a carry did.
 *
 * @param id id under which {@code revert} knows it, or null where nothing was written
 * @param outcomes one for each frame of the request, in the request's order
 * @param needsEyes written or unchanged frames whose recipe needs eyes
 * @param touches properties that a person had changed and that were kept
 */
public record CarryResult(
    @Nullable String id,
    List<FrameOutcome> outcomes,
    List<String> needsEyes,
    List<HandTouch> touches) {
  /** Copies its lists. */
  public CarryResult {
    outcomes = List.copyOf(outcomes);
    needsEyes = List.copyOf(needsEyes);
    touches = List.copyOf(touches);
  }

  /** The id under which {@code revert} knows this carry; empty where nothing was written. */
  public Optional<String> carryId() {
    return Optional.ofNullable(id);
  }

  /** How many frames had each outcome; outcomes that no frame had are left out. */
  public Map<Outcome, Integer> counts() {
    return count(outcomes);
  }

  /** How many frames had this outcome. */
  public int count(Outcome outcome) {
    return counts().getOrDefault(outcome, 0);
  }

  /** Whether a person should look (exit status 1). */
  public boolean attention() {
    return !needsEyes.isEmpty() || outcomes.stream().anyMatch(o -> o.outcome().attention());
  }

  static Map<Outcome, Integer> count(List<FrameOutcome> outcomes) {
    Map<Outcome, Integer> counts = new EnumMap<>(Outcome.class);
    for (FrameOutcome o : outcomes) {
      counts.merge(o.outcome(), 1, Integer::sum);
    }
    return counts;
  }
}
