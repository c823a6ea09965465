package samelight.engine.sidecar;

import java.util.List;
import java.util.Map;
import java.util.SortedSet;
import samelight.engine.match.Recipe;

/** What a carry will write, and why it leaves other frames alone. Making it changes nothing. */
public final class CarryPlan {
  private CarryPlan() {}

  /**
   * Plans a carry.
   *
   * @throws samelight.engine.files.RefusedInputException if the reference of a group was edited but
   *     has no exposure property, or one that isn't a number; nothing is written then
   */
  public static CarryPlan of(CarryRequest request) {
    return new CarryPlan();
  }

  /** What would happen to each frame; {@link Outcome#WRITTEN} stands for "will be written". */
  public List<FrameOutcome> outcomes() {
    return List.of();
  }

  /** How many frames have each outcome. */
  public Map<Outcome, Integer> counts() {
    return CarryResult.count(outcomes());
  }

  /** Recipes of the frames that are written or unchanged, by frame. */
  public Map<String, Recipe> recipes() {
    return Map.of();
  }

  /** Every property of the raw editor that will travel, numbers included. */
  public SortedSet<PropertyName> travelling() {
    return new java.util.TreeSet<>();
  }

  /** Properties of the raw editor on the references that stay with their own frame. */
  public SortedSet<PropertyName> staying() {
    return new java.util.TreeSet<>();
  }

  /** Whether an edit map is used for the first time in this shoot. */
  public boolean newMap() {
    return false;
  }

  /** Properties that a person changed since the last carry. */
  public List<HandTouch> touches() {
    return List.of();
  }

  /** The same plan with one frame only, to try a new edit map on; not a reference. */
  public CarryPlan trial() {
    return this;
  }
}
