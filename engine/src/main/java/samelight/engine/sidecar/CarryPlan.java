package samelight.engine.sidecar;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Grade;
import samelight.engine.match.Match;
import samelight.engine.match.Recipe;
import samelight.engine.metadata.FrameReader;
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

  /** Content is kept from the plan to the write up to this many bytes in all. */
  private static final long READY_BYTES = 64L << 20;

  /** What the journals remember; they are read when somebody first asks. */
  private static final class Remembered {
    private final JournalStore store;
    private @Nullable Map<String, LastCarried> all;

    Remembered(JournalStore store) {
      this.store = store;
    }

    Supplier<LastCarried> of(String sidecar) {
      return () -> read().getOrDefault(sidecar, LastCarried.NOTHING);
    }

    private synchronized Map<String, LastCarried> read() {
      Map<String, LastCarried> known = all;
      if (known == null) {
        known = JournalStore.remembered(store.finished());
        all = known;
      }
      return known;
    }
  }

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
  private record Facts(
      SortedSet<PropertyName> travelling,
      SortedSet<PropertyName> staying,
      boolean newMap,
      boolean tryFirst,
      List<String> otherSidecars,
      boolean mixedNames) {}

  private CarryPlan(
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
    return new Planner(request).plan();
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

  /** Makes a plan. */
  private static final class Planner {
    private final CarryRequest request;
    private final ShootPaths shoot;
    private final Map<String, LightingGroup> groupOf = new HashMap<>();
    private final Map<String, Frame> frames = new HashMap<>();
    private final Map<String, GroupSource> sources = new HashMap<>();
    private final Map<String, FrameOutcome> noSource = new HashMap<>();
    private final Map<String, String> sidecars = new LinkedHashMap<>();
    private final Map<String, FrameOutcome> refused = new HashMap<>();
    private final Sidecars names;
    private final Remembered remembered;
    private final Set<String> knownMaps = new HashSet<>();
    private final Instant now = Instant.now();
    private final AtomicLong ready = new AtomicLong();

    Planner(CarryRequest request) {
      this.request = request;
      this.shoot = ShootPaths.of(request.shoot());
      for (Frame f : request.frames()) {
        frames.put(f.file(), f);
      }
      for (LightingGroup g : request.groups()) {
        g.frames().forEach(f -> groupOf.put(f, g));
      }
      names = Sidecars.of(request.shoot(), request.frames());
      JournalStore store = new JournalStore(shoot);
      remembered = new Remembered(store);
      knownMaps.addAll(store.maps());
    }

    /** What became of one frame. */
    private record Planned(
        FrameOutcome outcome,
        @Nullable Write write,
        @Nullable Recipe recipe,
        List<HandTouch> touches,
        @Nullable MatchTest test) {
      static Planned alone(FrameOutcome outcome) {
        return new Planned(outcome, null, null, List.of(), null);
      }
    }

    CarryPlan plan() {
      paths();
      for (LightingGroup g : request.groups()) {
        if (asked(g)) {
          source(g);
        }
      }
      List<Integer> places = new ArrayList<>();
      for (int i = 0; i < request.frames().size(); i++) {
        places.add(i);
      }
      List<Planned> planned;
      try {
        planned = Parallel.map(places, Parallel.CORES, this::frame);
      } catch (RuntimeException e) {
        throw e;
      } catch (Exception e) {
        throw new IllegalStateException(e);
      }
      List<FrameOutcome> outcomes = new ArrayList<>();
      List<Write> writes = new ArrayList<>();
      Map<String, Recipe> recipes = new LinkedHashMap<>();
      List<HandTouch> touches = new ArrayList<>();
      List<MatchTest> tests = new ArrayList<>();
      for (Planned p : planned) {
        outcomes.add(p.outcome());
        touches.addAll(p.touches());
        if (p.write() != null) {
          writes.add(p.write());
        }
        if (p.recipe() != null) {
          recipes.put(p.recipe().frame(), p.recipe());
        }
        if (p.test() != null) {
          tests.add(p.test());
        }
      }
      SortedSet<PropertyName> travelling = new TreeSet<>();
      SortedSet<PropertyName> staying = new TreeSet<>();
      boolean newMap = false;
      boolean tryFirst = false;
      for (GroupSource s : sources.values()) {
        travelling.addAll(s.opaque().keySet());
        s.numbers().stream()
            .filter(n -> n.quantity() != null)
            .forEach(n -> travelling.add(n.property().name()));
        staying.addAll(s.staying());
        EditMap map = s.map();
        newMap |= map != null && !knownMaps.contains(map.id());
      }
      for (EditMap map : request.editMaps()) {
        tryFirst |=
            map.inFrame()
                && sources.values().stream().anyMatch(s -> map.equals(s.map()))
                && !takenIn(map);
      }
      return new CarryPlan(
          request,
          shoot,
          List.copyOf(outcomes),
          List.copyOf(writes),
          Collections.unmodifiableMap(recipes),
          List.copyOf(touches),
          List.copyOf(tests),
          new Facts(travelling, staying, newMap, tryFirst, names.extra(), names.mixesConventions()),
          remembered);
    }

    /**
     * Whether an editor that keeps its edits inside the frames has taken in what a sidecar said.
     *
     * @return false where nothing that was carried with this map stands
     * @throws RefusedInputException if something stands and the editor has taken in none of it
     */
    private boolean takenIn(EditMap map) {
      String waiting = null;
      for (Frame f : request.frames()) {
        String sidecar = sidecars.get(f.file());
        LastCarried last = sidecar == null ? LastCarried.NOTHING : remembered.of(sidecar).get();
        if (!map.id().equals(last.map())) {
          continue;
        }
        waiting = waiting == null ? f.file() : waiting;
        try {
          XmpPacket inside = EditorProperties.inside(shoot, f.file());
          if (inside != null && EditorProperties.edited(inside, map)) {
            for (PropertyName name : last.names()) {
              if (last.heldBy(inside, name)) {
                return true;
              }
            }
          }
        } catch (XmpRefusedException e) {
          // tells nothing; another frame may
        }
      }
      if (waiting == null) {
        return false;
      }
      throw new RefusedInputException(
          waiting,
          "a raw editor that keeps its edits inside the frames must have taken in the trial's"
              + " sidecar before more is carried",
          "none of what was carried in it",
          "Have the editor read the metadata of this frame again and save it, then carry again. If"
              + " it still ignores the sidecar it can't be carried to: `samelight revert SHOOT`,"
              + " then `samelight carry SHOOT --print` for the corrections as a list in sixths of a"
              + " stop");
    }

    private boolean asked(LightingGroup g) {
      return request.onlyGroups().isEmpty() || request.onlyGroups().contains(g.id());
    }

    /** Finds each frame's sidecar, and frames that would share one. */
    private void paths() {
      Map<String, String> taken = new HashMap<>();
      for (Frame f : request.frames()) {
        String wanted = names.pathFor(f);
        String path;
        try {
          if (!java.nio.file.Files.exists(
              shoot.resolve(f.file()), java.nio.file.LinkOption.NOFOLLOW_LINKS)) {
            refused.put(
                f.file(),
                outcome(f, wanted, Outcome.GONE, "run `samelight group` on the shoot again"));
            continue;
          }
          path = shoot.relative(shoot.resolveFollowing(wanted));
          if (!SidecarFile.named(path)) {
            throw new RefusedInputException(
                wanted,
                "a linked sidecar must end in .xmp",
                path,
                "Link to a sidecar, or remove the link");
          }
        } catch (RefusedInputException e) {
          refused.put(f.file(), outcome(f, wanted, Outcome.OUTSIDE, e.actual()));
          continue;
        }
        sidecars.put(f.file(), path);
        String folded =
            java.text.Normalizer.normalize(
                path.toLowerCase(Locale.ROOT), java.text.Normalizer.Form.NFC);
        String other = taken.putIfAbsent(folded, f.file());
        if (other != null) {
          refused.put(f.file(), outcome(f, path, Outcome.NAME_CLASH, "the same as for " + other));
          Frame first = frames.get(other);
          if (first != null) {
            refused.put(
                other,
                outcome(
                    first, sidecars.get(other), Outcome.NAME_CLASH, "the same as for " + f.file()));
          }
        }
      }
    }

    private FrameOutcome outcome(Frame f, @Nullable String sidecar, Outcome o, String detail) {
      LightingGroup g = groupOf.get(f.file());
      return new FrameOutcome(f.file(), g == null ? null : g.id(), sidecar, o, detail);
    }

    private @Nullable EditMap map(FileKind kind) {
      for (EditMap m : request.editMaps()) {
        if (m.fits(kind)) {
          return m;
        }
      }
      return null;
    }

    /** Reads what a group is carried from. */
    private void source(LightingGroup g) {
      Frame reference = frames.get(g.reference());
      if (reference == null) {
        throw new IllegalArgumentException(
            "reference of group " + g.id() + " must be one of the frames, was " + g.reference());
      }
      Grade stated = request.grades().get(g.reference());
      EditMap map = map(FileKind.of(reference));
      String sidecar = sidecars.get(g.reference());
      String why = "grade " + g.reference() + " first";
      if (map != null && sidecar != null && !refused.containsKey(g.reference())) {
        try {
          byte[] bytes =
              map.inFrame()
                  ? FrameReader.xmpPacket(shoot.resolve(g.reference())).orElse(null)
                  : SidecarFile.read(shoot.resolve(sidecar));
          GroupSource source =
              bytes == null ? null : GroupSource.read(sidecar, XmpPacket.parse(bytes), map);
          if (source != null) {
            sources.put(g.id(), source);
            return;
          }
        } catch (XmpRefusedException e) {
          noSource.put(
              g.id(),
              outcome(
                  reference,
                  sidecar,
                  Outcome.NO_GRADE,
                  "the sidecar of " + g.reference() + " can't be understood: " + e.getMessage()));
          return;
        }
      } else if (map == null && !request.editMaps().isEmpty()) {
        why = "no edit map is for this kind of file";
      }
      if (stated != null) {
        sources.put(g.id(), GroupSource.stated(stated));
      } else {
        noSource.put(g.id(), outcome(reference, sidecar, Outcome.NO_GRADE, why));
      }
    }

    private Planned frame(int place) {
      Frame f = request.frames().get(place);
      LightingGroup g = groupOf.get(f.file());
      String sidecar = sidecars.get(f.file());
      FrameOutcome no = refused.get(f.file());
      if (no != null) {
        return Planned.alone(no);
      }
      Match match = request.matches().get(f.file());
      if (g == null || match == null || !asked(g) || sidecar == null) {
        String why = g == null ? "in no group" : match == null ? "no match" : "group not asked for";
        return Planned.alone(outcome(f, sidecar, Outcome.NOT_CARRIED, why));
      }
      Frame reference = frames.get(g.reference());
      if (reference != null && FileKind.of(reference) != FileKind.of(f)) {
        return Planned.alone(
            outcome(f, sidecar, Outcome.OTHER_KIND, "the reference is " + g.reference()));
      }
      GroupSource source = sources.get(g.id());
      try {
        byte[] bytes = SidecarFile.read(shoot.resolve(sidecar));
        XmpPacket packet = XmpPacket.parse(bytes == null ? XmpPacket.empty() : bytes);
        if (f.marks().rejected() || SidecarReader.rejected(packet)) {
          return Planned.alone(outcome(f, sidecar, Outcome.REJECTED, ""));
        }
        if (source == null) {
          FrameOutcome reason = noSource.get(g.id());
          return Planned.alone(
              outcome(f, sidecar, Outcome.NO_GRADE, reason == null ? "" : reason.detail()));
        }
        Recipe recipe = Recipe.of(g.section(), g.id(), source.grade(), match, f);
        FrameComposer.Composed c =
            FrameComposer.compose(
                source,
                recipe,
                packet,
                EditorProperties.edits(shoot, f.file(), packet, source.map()),
                remembered.of(sidecar),
                request.overTouches(),
                now);
        Ev own = c.ownExposure();
        boolean carried = c.outcome() != Outcome.EDITED_BEFORE;
        return new Planned(
            outcome(f, sidecar, c.outcome(), ""),
            write(place, sidecar, source, recipe, bytes, c),
            carried ? c.recipe() : null,
            c.touches(),
            own == null ? null : new MatchTest(f.file(), own, recipe.exposure()));
      } catch (XmpRefusedException e) {
        return Planned.alone(
            outcome(f, sidecar, Outcome.UNREADABLE, String.valueOf(e.getMessage())));
      }
    }

    private @Nullable Write write(
        int place,
        String sidecar,
        GroupSource source,
        Recipe recipe,
        byte @Nullable [] before,
        FrameComposer.Composed c) {
      byte[] after = c.bytes();
      if (after == null) {
        return null;
      }
      long held = after.length + (before == null ? 0L : before.length);
      if (ready.addAndGet(held) <= READY_BYTES) {
        return new Write(place, sidecar, null, source, recipe, new Ready(before, after, c.last()));
      }
      String hash = before == null ? null : ContentHash.of(before);
      return new Write(place, sidecar, hash, source, recipe, null);
    }
  }
}
