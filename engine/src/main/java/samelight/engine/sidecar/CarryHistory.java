package samelight.engine.sidecar;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.Parallel;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;

/**
 * What sidecars and journals tell of the work so far: what stands carried, what was touched by hand
 * since, when a raw editor saved which sidecar. Reads each sidecar once; changes nothing, takes no
 * lock.
 */
public final class CarryHistory {
  private final Map<String, State> states;
  private final List<Save> saves;
  private final boolean interrupted;

  private CarryHistory(Map<String, State> states, List<Save> saves, boolean interrupted) {
    this.states = Collections.unmodifiableMap(states);
    this.saves = List.copyOf(saves);
    this.interrupted = interrupted;
  }

  /**
   * A sidecar was saved by somebody else than this program.
   *
   * @param frame its frame, relative to the shoot
   * @param at when, by the file system's clock
   */
  public record Save(String frame, Instant at) {}

  /**
   * What a frame's sidecar says now.
   *
   * @param frame path relative to the shoot
   * @param sidecar path of the sidecar it has or would get, relative to the shoot
   * @param exists whether there is one
   * @param unreadable whether it is there and can't be understood
   * @param rating xmp:Rating, -1 to 5, or null where it gives none
   * @param carried whether a carry's recipe stands in it, or stood there when the editor saved it
   * @param savedSince whether another program saved it since it was last written by this one
   * @param touched whether a carried property of the editor differs from what was carried; where
   *     none was carried, the same as {@code savedSince}
   * @param journal id of the carry, or null where it isn't known any more
   * @param carriedAt when it was carried, or null where that isn't known any more
   * @param recipe texts of the recipe's simple properties by name, such as {@code Exposure}
   * @param needsEyes reasons that it was carried with
   */
  public record State(
      String frame,
      String sidecar,
      boolean exists,
      boolean unreadable,
      @Nullable Double rating,
      boolean carried,
      boolean savedSince,
      boolean touched,
      @Nullable String journal,
      @Nullable Instant carriedAt,
      Map<String, String> recipe,
      List<String> needsEyes) {
    /** Copies its collections. */
    public State {
      recipe = Collections.unmodifiableMap(new LinkedHashMap<>(recipe));
      needsEyes = List.copyOf(needsEyes);
    }
  }

  /** What the journals say of one sidecar. */
  private static final class Journalled {
    @Nullable String after;
    @Nullable LastCarried carried;
    @Nullable Instant at;
    @Nullable String id;
    final List<Instant> saves = new ArrayList<>();
  }

  /**
   * Reads sidecars and journals.
   *
   * @param shoot the shoot's folder
   * @param frames all frames of the shoot
   * @throws RefusedInputException if a journal is damaged or a folder can't be read
   */
  public static CarryHistory of(Path shoot, List<Frame> frames) {
    ShootPaths paths = ShootPaths.of(shoot);
    JournalStore store = new JournalStore(paths);
    Map<String, Journalled> journalled = journalled(store.finished());
    Sidecars names = Sidecars.of(shoot, frames);
    List<Read> reads;
    try {
      reads =
          Parallel.map(
              frames, Parallel.CORES, f -> read(paths, f.file(), names.pathFor(f), journalled));
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException(e);
    }
    Map<String, State> states = new LinkedHashMap<>();
    List<Save> saves = new ArrayList<>();
    for (Read r : reads) {
      states.put(r.state().frame(), r.state());
      r.saves().forEach(at -> saves.add(new Save(r.state().frame(), at)));
    }
    saves.sort(java.util.Comparator.comparing(Save::at).thenComparing(Save::frame));
    return new CarryHistory(states, saves, !store.unfinished().isEmpty());
  }

  /** What each frame's sidecar says, in the order of the frames. */
  public Map<String, State> states() {
    return states;
  }

  /** Saves by other programs, in their order, as far as journals and files still tell. */
  public List<Save> saves() {
    return saves;
  }

  /** Whether a carry was interrupted and waits to be put right by the next command that writes. */
  public boolean interrupted() {
    return interrupted;
  }

  private static Map<String, Journalled> journalled(List<Journal> newestFirst) {
    Map<String, Set<String>> undone = JournalStore.undone(newestFirst);
    Map<String, Journalled> all = new HashMap<>();
    for (int i = newestFirst.size() - 1; i >= 0; i--) {
      Journal j = newestFirst.get(i);
      Set<String> gone = undone.getOrDefault(j.id, Set.of());
      for (Journal.Entry e : j.entries) {
        Journalled known = all.computeIfAbsent(e.sidecar(), s -> new Journalled());
        Journal.Before before = e.before();
        Instant saved = instant(e.saved());
        if (before != null && saved != null && !before.sha256().equals(known.after)) {
          known.saves.add(saved);
        }
        known.after = e.after();
        if (e.carried() != null && !gone.contains(e.sidecar())) {
          known.carried = e.carried();
          known.at = j.at;
          known.id = j.id;
        }
      }
    }
    return all;
  }

  private static @Nullable Instant instant(@Nullable String text) {
    try {
      return text == null ? null : Instant.parse(text);
    } catch (java.time.format.DateTimeParseException e) {
      return null; // only an estimate of times is poorer for it
    }
  }

  private record Read(State state, List<Instant> saves) {}

  private static Read read(
      ShootPaths paths, String frame, String sidecar, Map<String, Journalled> journalled) {
    try {
      Path file = paths.resolveFollowing(sidecar);
      Journalled known = journalled.getOrDefault(paths.relative(file), new Journalled());
      byte[] bytes = SidecarFile.read(file);
      if (bytes == null) {
        return new Read(none(frame, sidecar, false), known.saves);
      }
      List<Instant> saves = new ArrayList<>(known.saves);
      boolean saved = !ContentHash.of(bytes).equals(known.after);
      if (saved) {
        saves.add(Files.getLastModifiedTime(file).toInstant());
      }
      return new Read(state(frame, sidecar, XmpPacket.parse(bytes), saved, known), saves);
    } catch (XmpRefusedException | RefusedInputException | IOException e) {
      return new Read(none(frame, sidecar, true), List.of());
    }
  }

  private static State none(String frame, String sidecar, boolean unreadable) {
    return new State(
        frame,
        sidecar,
        unreadable,
        unreadable,
        null,
        false,
        false,
        false,
        null,
        null,
        Map.of(),
        List.of());
  }

  private static State state(
      String frame, String sidecar, XmpPacket packet, boolean saved, Journalled known)
      throws XmpRefusedException {
    Map<String, String> recipe = new LinkedHashMap<>();
    for (XmpPacket.Property p : packet.properties.values()) {
      if (p.name().namespace().equals(RecipeNamespace.URI) && p.value().simple()) {
        recipe.put(p.name().property(), p.value().text());
      }
    }
    XmpValue reasons = packet.value(RecipeProperties.needsEyesName());
    boolean carried = recipe.containsKey("Exposure") || known.carried != null;
    LastCarried last = LastCarried.of(packet);
    LastCarried meant = last.nothing() && known.carried != null ? known.carried : last;
    boolean since = saved && known.after != null;
    int held = 0;
    for (NumberPlace place : meant.places()) {
      held += meant.heldBy(packet, place) ? 1 : 0;
    }
    int meantToBe = meant.places().size();
    // where nothing at all is as carried, the editor ignored the sidecar; `confirm` tells exactly
    boolean ignored = held == 0 && (meantToBe > 1 || !recipe.containsKey("Exposure"));
    boolean touched = meant.nothing() ? since : held < meantToBe && !ignored;
    return new State(
        frame,
        sidecar,
        true,
        false,
        SidecarReader.rating(packet),
        carried,
        since,
        carried && touched,
        known.id,
        known.at,
        recipe,
        reasons == null ? List.of() : reasons.items().stream().map(XmpValue::text).toList());
  }
}
