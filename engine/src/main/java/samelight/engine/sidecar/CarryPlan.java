package samelight.engine.sidecar;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.SortedSet;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ShootPaths;
import samelight.engine.match.Recipe;
import samelight.engine.quantity.Ev;

/** What a carry will write, and why it leaves other frames alone. Making it changes nothing. */
public final class CarryPlan {
  /**
   * How far the match is from what a person did: a frame that was edited before the first carry,
   * used as a test.
   *
   * @param frame path relative to the shoot
   * @param own exposure that the person gave it
   * @param matched exposure that the recipe would have
   */
  public record MatchTest(String frame, Ev own, Ev matched) {
    /** Recipe minus person, in stops. */
    public Ev difference() {
      return matched.minus(own);
    }
  }

  /**
   * One sidecar to write.
   *
   * @param place place of its frame in the request
   * @param sidecar path relative to the shoot, without links
   * @param hash hash of the content that was read, or null where there was none or where the plan
   *     still holds it
   * @param source what its group is carried from
   * @param recipe the recipe, as matched
   * @param ready the new content, or null where it is to be composed again, since all of a large
   *     shoot would not fit in memory
   */
  record Write(
      int place,
      String sidecar,
      @Nullable String hash,
      GroupSource source,
      Recipe recipe,
      @Nullable Ready ready) {}

  /**
   * Old and new content of a sidecar.
   *
   * @param before what was read, or null where there was no sidecar
   * @param after what is to be written
   * @param last what is remembered of it
   */
  @SuppressWarnings("ArrayRecordComponent") // moved through once, never compared
  record Ready(byte @Nullable [] before, byte[] after, LastCarried last) {}

  private final CarryRequest request;
  private final ShootPaths shoot;
  private final List<FrameOutcome> outcomes;
  private final List<Write> writes;
  private final Map<String, Recipe> recipes;
  private final List<HandTouch> touches;
  private final List<MatchTest> tests;
  private final Facts facts;
  private final Remembered remembered;

  /**
   * What a person should know before.
   *
   * @param travelling properties that will travel
   * @param staying properties that stay with their own frame
   * @param newMap whether an edit map is new here
   * @param tryFirst whether one frame must be tried first
   * @param otherSidecars sidecars of a frame's stem that aren't its sidecar
   * @param mixedNames whether the shoot's sidecars are named in two ways
   */
  record Facts(
      SortedSet<PropertyName> travelling,
      SortedSet<PropertyName> staying,
      boolean newMap,
      boolean tryFirst,
      List<String> otherSidecars,
      boolean mixedNames) {}

  CarryPlan(
      CarryRequest request,
      ShootPaths shoot,
      List<FrameOutcome> outcomes,
      List<Write> writes,
      Map<String, Recipe> recipes,
      List<HandTouch> touches,
      List<MatchTest> tests,
      Facts facts,
      Remembered remembered) {
    this.request = request;
    this.shoot = shoot;
    this.outcomes = outcomes;
    this.writes = writes;
    this.recipes = recipes;
    this.touches = touches;
    this.tests = tests;
    this.facts = facts;
    this.remembered = remembered;
  }

  /**
   * Plans a carry.
   *
   * @throws samelight.engine.files.RefusedInputException if the reference of a group was edited but
   *     has no exposure property, or one that isn't a number; nothing is written then
   */
  public static CarryPlan of(CarryRequest request) {
    return new CarryPlanner(request).plan();
  }

  /** What would happen to each frame; {@link Outcome#WRITTEN} stands for "will be written". */
  public List<FrameOutcome> outcomes() {
    return outcomes;
  }

  /** How many frames have each outcome. */
  public Map<Outcome, Integer> counts() {
    return CarryResult.count(outcomes);
  }

  /** Recipes of the frames that are written or unchanged, by frame. */
  public Map<String, Recipe> recipes() {
    return recipes;
  }

  /** Every property of the raw editor that will travel, numbers included. */
  public SortedSet<PropertyName> travelling() {
    return Collections.unmodifiableSortedSet(facts.travelling());
  }

  /** Properties of the raw editor on the references that stay with their own frame. */
  public SortedSet<PropertyName> staying() {
    return Collections.unmodifiableSortedSet(facts.staying());
  }

  /** Whether an edit map is used for the first time in this shoot, as far as the journal tells. */
  public boolean newMap() {
    return facts.newMap();
  }

  /**
   * Whether only one frame may be carried to now: an editor that keeps its edits inside the frames
   * must first show that it takes in what a sidecar says.
   */
  public boolean tryFirst() {
    return facts.tryFirst();
  }

  /**
   * Sidecars of a frame's stem that are not its sidecar, as of second renderings. They are never
   * touched.
   */
  public List<String> otherSidecars() {
    return facts.otherSidecars();
  }

  /** Whether the shoot has sidecars of both forms of name; each frame keeps its own. */
  public boolean mixedNames() {
    return facts.mixedNames();
  }

  /** Properties that a person changed since the last carry. */
  public List<HandTouch> touches() {
    return touches;
  }

  /** Frames that were edited before the first carry, as tests of the match. */
  public List<MatchTest> matchTests() {
    return tests;
  }

  /** Written or unchanged frames whose recipe needs eyes, in the order of the request. */
  public List<String> needsEyes() {
    List<String> list = new ArrayList<>();
    for (FrameOutcome o : outcomes) {
      Recipe r = recipes.get(o.frame());
      if (r != null && !r.needsEyes().isEmpty()) {
        list.add(o.frame());
      }
    }
    return list;
  }

  /**
   * The same plan with one frame only, to try a new edit map on: the first that isn't a reference.
   * All others count as not carried. The same plan where it writes no such frame.
   */
  public CarryPlan trial() {
    for (Write w : writes) {
      if (!w.recipe().frame().equals(w.recipe().reference())) {
        List<FrameOutcome> only = new ArrayList<>();
        for (int i = 0; i < outcomes.size(); i++) {
          FrameOutcome o = outcomes.get(i);
          only.add(
              i == w.place()
                  ? o
                  : new FrameOutcome(
                      o.frame(),
                      o.group(),
                      o.sidecar(),
                      Outcome.NOT_CARRIED,
                      "not the trial frame"));
        }
        Recipe r = recipes.get(w.recipe().frame());
        return new CarryPlan(
            request,
            shoot,
            only,
            List.of(w),
            r == null ? Map.of() : Map.of(r.frame(), r),
            touches.stream().filter(t -> t.frame().equals(w.recipe().frame())).toList(),
            List.of(),
            facts,
            remembered);
      }
    }
    return this;
  }

  /** The writes, that of {@link #trial} first. */
  List<Write> trialFirst() {
    List<Write> first = trial().writes;
    if (first.size() != 1) {
      return writes;
    }
    List<Write> all = new ArrayList<>(first);
    writes.stream().filter(w -> w.place() != first.get(0).place()).forEach(all::add);
    return all;
  }

  CarryRequest request() {
    return request;
  }

  List<Write> writes() {
    return writes;
  }

  Supplier<LastCarried> remembered(String sidecar) {
    return remembered.of(sidecar);
  }
}
