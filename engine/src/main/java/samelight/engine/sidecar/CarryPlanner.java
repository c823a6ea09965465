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
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.Parallel;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.match.Grade;
import samelight.engine.match.Match;
import samelight.engine.match.Recipe;
import samelight.engine.metadata.FrameReader;
import samelight.engine.quantity.Ev;

/**
 * Makes the plan of a carry: finds each frame's sidecar, reads what each group is carried from, and
 * composes what each sidecar would become, on all cores. Changes nothing.
 */
final class CarryPlanner {
  /** Content is kept from the plan to the write up to this many bytes in all. */
  private static final long READY_BYTES = 64L << 20;

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

  CarryPlanner(CarryRequest request) {
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
      CarryPlan.@Nullable Write write,
      @Nullable Recipe recipe,
      List<HandTouch> touches,
      CarryPlan.@Nullable MatchTest test) {
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
    List<CarryPlan.Write> writes = new ArrayList<>();
    Map<String, Recipe> recipes = new LinkedHashMap<>();
    List<HandTouch> touches = new ArrayList<>();
    List<CarryPlan.MatchTest> tests = new ArrayList<>();
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
        new CarryPlan.Facts(
            travelling, staying, newMap, tryFirst, names.extra(), names.mixesConventions()),
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
          for (NumberPlace place : last.places()) {
            if (last.heldBy(inside, place)) {
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
      if (!f.marks().rated()
          && request.proposedOut().contains(f.file())
          && !f.file().equals(g.reference())) {
        return Planned.alone(outcome(f, sidecar, Outcome.PROPOSED_OUT, ""));
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
          own == null ? null : new CarryPlan.MatchTest(f.file(), own, recipe.exposure()));
    } catch (NoPlaceException e) {
      return Planned.alone(outcome(f, sidecar, Outcome.NO_PLACE, String.valueOf(e.getMessage())));
    } catch (XmpRefusedException e) {
      return Planned.alone(outcome(f, sidecar, Outcome.UNREADABLE, String.valueOf(e.getMessage())));
    }
  }

  private CarryPlan.@Nullable Write write(
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
      return new CarryPlan.Write(
          place, sidecar, null, source, recipe, new CarryPlan.Ready(before, after, c.last()));
    }
    String hash = before == null ? null : ContentHash.of(before);
    return new CarryPlan.Write(place, sidecar, hash, source, recipe, null);
  }
}
