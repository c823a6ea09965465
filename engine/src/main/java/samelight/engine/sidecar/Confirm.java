package samelight.engine.sidecar;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;

/**
 * Closes the round trip: what the raw editor, or a person in it, made of the sidecars since the
 * last carry. Changes nothing.
 */
public final class Confirm {
  /** What became of a carried sidecar. */
  public enum State {
    /** Saved by the editor since, with the values that were carried. */
    KEPT(false, "kept by the editor"),
    /** Saved since, with values changed by hand. */
    CHANGED_BY_HAND(false, "changed by hand since"),
    /** Saved since with the values from before the carry: the editor did not read the sidecar. */
    IGNORED(true, "ignored by the editor"),
    /** Byte for byte as it was written: the editor has not saved it since. */
    NOT_SAVED(false, "not saved by the editor since"),
    /** No longer there. */
    GONE(true, "gone"),
    /** There, but can't be understood. */
    UNREADABLE(true, "can't be understood");

    private final boolean attention;
    private final String words;

    State(boolean attention, String words) {
      this.attention = attention;
      this.words = words;
    }

    /** Whether a person should do something about it. */
    public boolean attention() {
      return attention;
    }

    /** In words. */
    public String words() {
      return words;
    }
  }

  /**
   * One carried frame.
   *
   * @param frame path relative to the shoot; the sidecar's path where no frame has that sidecar
   * @param sidecar path of the sidecar relative to the shoot
   * @param state what became of it
   * @param changed properties that differ from what was carried
   */
  public record Entry(String frame, String sidecar, State state, List<PropertyName> changed) {
    /** Copies its list. */
    public Entry {
      changed = List.copyOf(changed);
    }
  }

  /**
   * All carried frames.
   *
   * @param entries in the order of the frames
   */
  public record Report(List<Entry> entries) {
    /** Copies its list. */
    public Report {
      entries = List.copyOf(entries);
    }

    /** How many frames are in each state. */
    public Map<State, Integer> counts() {
      Map<State, Integer> counts = new EnumMap<>(State.class);
      entries.forEach(e -> counts.merge(e.state(), 1, Integer::sum));
      return counts;
    }

    /** Whether a person should look (exit status 1). */
    public boolean attention() {
      return entries.stream().anyMatch(e -> e.state().attention());
    }
  }

  private Confirm() {}

  /**
   * Looks at every sidecar that the last carry that still stands wrote.
   *
   * @param shoot the shoot's folder
   * @param frames the frames of the shoot
   * @throws RefusedInputException if a journal is damaged or a folder can't be read
   */
  public static Report of(Path shoot, List<Frame> frames) {
    ShootPaths paths = ShootPaths.of(shoot);
    List<Journal> journals = new JournalStore(paths).finished();
    Map<String, Set<String>> undone = JournalStore.undone(journals);
    Map<String, Journal.Entry> carried = new LinkedHashMap<>();
    Set<String> inside = new HashSet<>();
    for (Journal outline : journals) {
      Set<String> gone = undone.getOrDefault(outline.id, Set.of());
      Journal j = outline.kind == Journal.Kind.CARRY ? Journal.read(outline.file) : null;
      if (j == null) {
        continue;
      }
      inside.addAll(j.inside);
      for (Journal.Entry e : j.entries) {
        boolean rated = e.carried() == null; // by `keepers`: there is nothing to confirm
        if (!rated && !gone.contains(e.sidecar())) {
          carried.putIfAbsent(e.sidecar(), e);
        }
      }
    }
    Map<String, String> frameOf = new HashMap<>();
    Sidecars names = Sidecars.of(shoot, frames);
    List<Entry> entries = new ArrayList<>();
    for (Frame f : frames) {
      String sidecar = follow(paths, names.pathFor(f));
      Journal.Entry e = carried.get(sidecar);
      if (e != null && frameOf.putIfAbsent(sidecar, f.file()) == null) {
        entries.add(entry(paths, f.file(), e, inside));
      }
    }
    carried.forEach(
        (sidecar, e) -> {
          if (!frameOf.containsKey(sidecar)) {
            entries.add(entry(paths, sidecar, e, Set.of()));
          }
        });
    return new Report(entries);
  }

  private static String follow(ShootPaths paths, String sidecar) {
    try {
      return paths.relative(paths.resolveFollowing(sidecar));
    } catch (RefusedInputException e) {
      return sidecar;
    }
  }

  private static Entry entry(
      ShootPaths paths, String frame, Journal.Entry e, Set<String> insideMaps) {
    try {
      byte[] now = SidecarFile.read(Recovery.target(paths, e.sidecar()));
      if (now == null) {
        return new Entry(frame, e.sidecar(), State.GONE, List.of());
      }
      LastCarried last = e.carried() == null ? LastCarried.NOTHING : e.carried();
      if (last.map() != null && insideMaps.contains(last.map())) {
        XmpPacket inside = EditorProperties.inside(paths, frame);
        return compared(
            frame, e, last, inside == null ? XmpPacket.parse(XmpPacket.empty()) : inside);
      }
      if (ContentHash.of(now).equals(e.after())) {
        return new Entry(frame, e.sidecar(), State.NOT_SAVED, List.of());
      }
      XmpPacket packet = XmpPacket.parse(now);
      if (last.nothing()) {
        boolean ours = packet.properties.containsKey(RecipeNamespace.name("Exposure"));
        return new Entry(frame, e.sidecar(), ours ? State.KEPT : State.IGNORED, List.of());
      }
      return compared(frame, e, last, packet);
    } catch (XmpRefusedException | RefusedInputException | IOException problem) {
      return new Entry(frame, e.sidecar(), State.UNREADABLE, List.of());
    }
  }

  /**
   * What the editor made of it.
   *
   * @param packet where the editor keeps its edits: the sidecar, or the packet inside the frame
   */
  private static Entry compared(String frame, Journal.Entry e, LastCarried last, XmpPacket packet)
      throws IOException, XmpRefusedException {
    XmpPacket before = before(e);
    Set<PropertyName> changed = new TreeSet<>();
    boolean asBefore = true;
    for (NumberPlace place : last.places()) {
      if (!last.heldBy(packet, place)) {
        changed.add(place.property());
        List<NumberPlace> numbers = place.whole() ? last.parts(place.property()) : List.of();
        asBefore &= same(packet, before, place, numbers);
      }
    }
    State state = changed.isEmpty() ? State.KEPT : asBefore ? State.IGNORED : State.CHANGED_BY_HAND;
    return new Entry(frame, e.sidecar(), state, List.copyOf(changed));
  }

  private static @Nullable XmpPacket before(Journal.Entry e)
      throws IOException, XmpRefusedException {
    return e.before() == null ? null : XmpPacket.parse(e.before().bytes());
  }

  private static boolean same(
      XmpPacket packet, @Nullable XmpPacket before, NumberPlace place, List<NumberPlace> but)
      throws XmpRefusedException {
    XmpValue a = place.in(packet);
    XmpValue b = before == null ? null : place.in(before);
    return a == null ? b == null : b != null && a.without(but).same(b.without(but));
  }
}
