package samelight.engine.sidecar;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;

/** Puts sidecars back as they were before a carry. */
public final class Revert {
  private static final int BATCH = 1000;

  private Revert() {}

  /**
   * One carry in the journal.
   *
   * @param id its id
   * @param at when it began
   * @param sidecars how many sidecars it wrote
   * @param putBack how many of them have been put back
   */
  public record Entry(String id, Instant at, int sidecars, int putBack) {
    /** Whether all of them have been put back. */
    public boolean undone() {
      return putBack >= sidecars;
    }
  }

  /** The carries that the journal still holds, latest first. */
  public static List<Entry> list(Path shoot) {
    List<Journal> journals = new JournalStore(ShootPaths.of(shoot)).finished();
    Map<String, Set<String>> undone = JournalStore.undone(journals);
    List<Entry> list = new ArrayList<>();
    for (Journal j : journals) {
      if (j.kind == Journal.Kind.CARRY) {
        list.add(
            new Entry(j.id, j.at, j.entries.size(), undone.getOrDefault(j.id, Set.of()).size()));
      }
    }
    return list;
  }

  /**
   * Undoes the last carry that isn't undone yet. Where the session has just recovered an
   * interrupted carry, that was the last one: nothing more is undone and its result is returned.
   *
   * @param overTouches whether sidecars that were touched since are put back too
   * @throws samelight.engine.files.CouldNotWriteException if the drive is full, gone or broken
   */
  public static RevertResult last(SidecarSession session, boolean overTouches, Progress progress) {
    if (!session.recovered().carries().isEmpty()) {
      return session.recovered();
    }
    List<Journal> journals = new JournalStore(session.shoot()).finished();
    Map<String, Set<String>> undone = JournalStore.undone(journals);
    for (Journal j : journals) {
      if (j.kind == Journal.Kind.CARRY
          && undone.getOrDefault(j.id, Set.of()).size() < j.entries.size()) {
        return run(session, journals, List.of(j), overTouches, progress);
      }
    }
    return RevertResult.NOTHING;
  }

  /**
   * Undoes a carry and all later ones.
   *
   * @param id id of the carry, as {@link #list} gives it
   * @param overTouches whether sidecars that were touched since are put back too
   * @throws samelight.engine.files.RefusedInputException if the journal has no such carry
   * @throws samelight.engine.files.CouldNotWriteException if the drive is full, gone or broken
   */
  public static RevertResult to(
      SidecarSession session, String id, boolean overTouches, Progress progress) {
    List<Journal> journals = new JournalStore(session.shoot()).finished();
    List<Journal> undo = new ArrayList<>();
    for (Journal j : journals) {
      if (j.kind == Journal.Kind.CARRY) {
        undo.add(j);
        if (j.id.equals(id)) {
          return run(session, journals, undo, overTouches, progress);
        }
      }
    }
    throw new RefusedInputException(
        id,
        "must be the id of a carry that the journal still holds",
        undo.isEmpty() ? "no carries" : "ids " + String.join(", ", ids(undo)),
        "See samelight revert --list");
  }

  private static List<String> ids(List<Journal> journals) {
    return journals.stream().map(j -> j.id).toList();
  }

  /** All steps of one sidecar that are to be undone, latest first. */
  private record Chain(String sidecar, List<Journal.Entry> entries, List<String> ids) {
    Journal.Entry oldest() {
      return entries.get(entries.size() - 1);
    }

    @Nullable String expected() {
      return entries.get(0).after();
    }

    boolean unbroken() {
      for (int i = 0; i + 1 < entries.size(); i++) {
        Journal.Before later = entries.get(i).before();
        String before = later == null ? null : later.sha256();
        if (!Objects.equals(before, entries.get(i + 1).after())) {
          return false;
        }
      }
      return true;
    }
  }

  private static RevertResult run(
      SidecarSession session,
      List<Journal> all,
      List<Journal> undo,
      boolean overTouches,
      Progress progress) {
    Map<String, Set<String>> undone = JournalStore.undone(all);
    Map<String, Chain> chains = new LinkedHashMap<>();
    for (Journal outline : undo) {
      Journal j = Journal.read(outline.file);
      for (Journal.Entry e : j == null ? List.<Journal.Entry>of() : j.entries) {
        if (!undone.getOrDefault(outline.id, Set.of()).contains(e.sidecar())) {
          Chain c =
              chains.computeIfAbsent(
                  e.sidecar(), k -> new Chain(k, new ArrayList<>(), new ArrayList<>()));
          c.entries().add(e);
          c.ids().add(outline.id);
        }
      }
    }
    List<Chain> todo = new ArrayList<>(chains.values());
    SidecarTransaction transaction =
        new SidecarTransaction(
            session.shoot(),
            session.disk(),
            Journal.Kind.REVERT,
            List.of(),
            session.now(),
            progress,
            todo.size());
    List<RevertResult.Entry> results = new ArrayList<>();
    Set<Path> folders = new TreeSet<>();
    for (int from = 0; from < todo.size(); from += BATCH) {
      batch(
          session.shoot(),
          transaction,
          todo.subList(from, Math.min(from + BATCH, todo.size())),
          overTouches,
          results,
          folders);
    }
    transaction.finish();
    List<String> strays = new ArrayList<>();
    for (Path folder : folders) {
      try {
        Recovery.clearStrays(session.shoot(), session.disk(), folder, strays);
      } catch (IOException e) {
        throw DurableFile.couldNotWrite(folder, e);
      }
    }
    return new RevertResult(ids(undo), results, strays);
  }

  private static void batch(
      ShootPaths shoot,
      SidecarTransaction transaction,
      List<Chain> chains,
      boolean overTouches,
      List<RevertResult.Entry> results,
      Set<Path> folders) {
    List<SidecarTransaction.Change> changes = new ArrayList<>();
    List<Integer> places = new ArrayList<>();
    for (Chain c : chains) {
      results.add(Recovery.entry(c.sidecar(), RevertResult.What.ALREADY, ""));
      int place = results.size() - 1;
      try {
        Path target = Recovery.target(shoot, c.sidecar());
        folders.add(Objects.requireNonNull(target.getParent()));
        Journal.Before before = c.oldest().before();
        byte[] old = before == null ? null : before.bytes();
        byte[] now = SidecarFile.read(target);
        String hash = now == null ? null : ContentHash.of(now);
        boolean expected = Objects.equals(hash, c.expected()) && c.unbroken();
        boolean already = Objects.equals(hash, before == null ? null : before.sha256());
        if (!expected && !overTouches && !already) {
          String detail = now == null ? "removed since" : "changed since by a person or program";
          results.set(place, Recovery.entry(c.sidecar(), RevertResult.What.TOUCHED_SINCE, detail));
        } else {
          changes.add(new SidecarTransaction.Change(c.sidecar(), target, now, old, null, c.ids()));
          places.add(place);
        }
      } catch (XmpRefusedException e) {
        results.set(
            place,
            Recovery.entry(
                c.sidecar(), RevertResult.What.TOUCHED_SINCE, String.valueOf(e.getMessage())));
      } catch (RefusedInputException | IOException | IllegalArgumentException e) {
        results.set(
            place,
            Recovery.entry(c.sidecar(), RevertResult.What.REFUSED, String.valueOf(e.getMessage())));
      }
    }
    List<SidecarTransaction.Done> done = transaction.write(changes);
    for (int i = 0; i < done.size(); i++) {
      SidecarTransaction.Change change = changes.get(i);
      results.set(places.get(i), result(change, done.get(i)));
    }
  }

  private static RevertResult.Entry result(
      SidecarTransaction.Change change, SidecarTransaction.Done done) {
    RevertResult.What what =
        switch (done.fate()) {
          case CHANGED_MEANWHILE -> RevertResult.What.TOUCHED_SINCE;
          case COULD_NOT_WRITE -> RevertResult.What.COULD_NOT_WRITE;
          case WRITTEN -> {
            if (java.util.Arrays.equals(change.before(), change.after())) {
              yield RevertResult.What.ALREADY;
            }
            yield change.after() == null ? RevertResult.What.REMOVED : RevertResult.What.RESTORED;
          }
        };
    return Recovery.entry(change.sidecar(), what, done.detail());
  }
}
