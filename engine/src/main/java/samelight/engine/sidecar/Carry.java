package samelight.engine.sidecar;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.Parallel;

/** Writes what a plan says, journal first. */
public final class Carry {
  /** Old and new content of a batch is held in memory: at most about this much. */
  private static final long BATCH_BYTES = 32L << 20;

  private static final int BATCH = 1000;

  /** With a new map, so many frames are tried one by one until one can be written. */
  private static final int MOST_TRIALS = 3;

  private Carry() {}

  /**
   * Carries. Where an edit map is new in the shoot, one frame is written and read back before any
   * other; if another program changes it at once, no other is written.
   *
   * @param session the right to write to the shoot
   * @param plan the plan, made inside this session
   * @param progress told how far it has come
   * @return what was done; a sidecar that another program changed meanwhile is left alone
   * @throws samelight.engine.files.CouldNotWriteException if the drive is full, gone or broken;
   *     what was written is rolled back, now or by the next command
   */
  public static CarryResult run(SidecarSession session, CarryPlan plan, Progress progress) {
    List<FrameOutcome> outcomes = new ArrayList<>(plan.outcomes());
    Instant now = session.now();
    SidecarTransaction transaction =
        new SidecarTransaction(
            session.shoot(),
            session.disk(),
            Journal.Kind.CARRY,
            plan.request().editMaps(),
            now,
            progress,
            plan.writes().size());
    List<CarryPlan.Write> writes = plan.newMap() ? plan.trialFirst() : plan.writes();
    int most = plan.newMap() ? 1 : BATCH;
    int from = 0;
    while (from < writes.size()) {
      List<CarryPlan.Write> batch = new ArrayList<>();
      List<SidecarTransaction.Change> changes = new ArrayList<>();
      long bytes = 0;
      while (from < writes.size() && batch.size() < most && bytes < BATCH_BYTES) {
        int until = Math.min(from + Math.min(64, most), writes.size());
        List<CarryPlan.Write> some = writes.subList(from, until);
        from += some.size();
        List<Optional<SidecarTransaction.Change>> made;
        try {
          made =
              Parallel.map(
                  some, Parallel.CORES, w -> Optional.ofNullable(change(session, plan, w, now)));
        } catch (RuntimeException e) {
          throw e;
        } catch (Exception e) {
          throw new IllegalStateException(e);
        }
        for (int i = 0; i < some.size(); i++) {
          SidecarTransaction.Change c = made.get(i).orElse(null);
          if (c == null) {
            set(outcomes, some.get(i), Outcome.CHANGED_MEANWHILE, "its content changed");
            continue;
          }
          batch.add(some.get(i));
          changes.add(c);
          bytes += length(c.before()) + length(c.after());
        }
      }
      List<SidecarTransaction.Done> done = transaction.write(changes);
      for (int i = 0; i < done.size(); i++) {
        SidecarTransaction.Done d = done.get(i);
        switch (d.fate()) {
          case WRITTEN -> {}
          case CHANGED_MEANWHILE ->
              set(outcomes, batch.get(i), Outcome.CHANGED_MEANWHILE, d.detail());
          case COULD_NOT_WRITE -> set(outcomes, batch.get(i), Outcome.COULD_NOT_WRITE, d.detail());
        }
      }
      if (most == 1 && written(done)) {
        if (!stays(changes.get(0))) {
          stop(outcomes, batch.get(0), writes.subList(from, writes.size()));
          break;
        }
        most = BATCH;
      }
      most = from > MOST_TRIALS ? BATCH : most;
    }
    transaction.finish();
    return new CarryResult(transaction.id(), outcomes, plan.needsEyes(), plan.touches());
  }

  private static boolean written(List<SidecarTransaction.Done> done) {
    return !done.isEmpty() && done.get(0).fate() == SidecarTransaction.Fate.WRITTEN;
  }

  /** Whether a sidecar is what was written. */
  private static boolean stays(SidecarTransaction.Change change) {
    try {
      return java.util.Arrays.equals(SidecarFile.read(change.target()), change.after());
    } catch (XmpRefusedException e) {
      return false;
    }
  }

  private static void stop(
      List<FrameOutcome> outcomes, CarryPlan.Write first, List<CarryPlan.Write> others) {
    String frame = first.recipe().frame();
    String what = "it was written, but another program changed it at once";
    set(outcomes, first, Outcome.CHANGED_MEANWHILE, what);
    for (CarryPlan.Write w : others) {
      set(outcomes, w, Outcome.NOT_CARRIED, "the first, " + frame + ", did not stay as written");
    }
  }

  private static int length(byte @Nullable [] bytes) {
    return bytes == null ? 0 : bytes.length;
  }

  private static void set(
      List<FrameOutcome> outcomes, CarryPlan.Write w, Outcome outcome, String detail) {
    FrameOutcome o = outcomes.get(w.place());
    outcomes.set(w.place(), new FrameOutcome(o.frame(), o.group(), o.sidecar(), outcome, detail));
  }

  /** The change, or null where the sidecar is no longer what the plan was made from. */
  private static SidecarTransaction.@Nullable Change change(
      SidecarSession session, CarryPlan plan, CarryPlan.Write w, Instant now) {
    var target = session.shoot().resolve(w.sidecar());
    CarryPlan.Ready ready = w.ready();
    if (ready != null) {
      return new SidecarTransaction.Change(
          w.sidecar(), target, ready.before(), ready.after(), ready.last(), null);
    }
    try {
      byte[] before = SidecarFile.read(target);
      String hash = before == null ? null : ContentHash.of(before);
      if (!java.util.Objects.equals(hash, w.hash())) {
        return null;
      }
      XmpPacket packet = XmpPacket.parse(before == null ? XmpPacket.empty() : before);
      FrameComposer.Composed c =
          FrameComposer.compose(
              w.source(),
              w.recipe(),
              packet,
              EditorProperties.edits(session.shoot(), w.recipe().frame(), packet, w.source().map()),
              plan.remembered(w.sidecar()),
              plan.request().overTouches(),
              now);
      byte[] after = c.bytes() == null ? before : c.bytes();
      return new SidecarTransaction.Change(w.sidecar(), target, before, after, c.last(), null);
    } catch (XmpRefusedException e) {
      return null;
    }
  }
}
