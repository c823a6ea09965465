package samelight.cli;

import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import samelight.engine.Analysis;
import samelight.engine.FrameLight;
import samelight.engine.files.ContentHash;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.metadata.ShootReading;
import samelight.engine.report.CarriedSection;
import samelight.engine.report.PageBuilder;
import samelight.engine.report.Proofs;
import samelight.engine.report.ShootSummary;
import samelight.engine.report.Summarise;
import samelight.engine.report.Wording;
import samelight.engine.review.Change;
import samelight.engine.review.ChangeRefusedException;
import samelight.engine.review.Deciding;
import samelight.engine.sidecar.Carry;
import samelight.engine.sidecar.CarryPlan;
import samelight.engine.sidecar.CarryRequest;
import samelight.engine.sidecar.CarryResult;
import samelight.engine.sidecar.EditMap;
import samelight.engine.sidecar.Outcome;
import samelight.engine.sidecar.Revert;
import samelight.engine.sidecar.RevertResult;
import samelight.engine.sidecar.SidecarReader;
import samelight.engine.store.ComparedPictures;
import samelight.engine.store.FrameStore;
import samelight.engine.store.PhotographerDecisions;
import samelight.engine.store.Plan;
import samelight.engine.store.PlanFile;

/**
 * A shoot under review: what the page shows, and the decisions made on it. The shoot's lock is held
 * only while something is decided, so that commands can work meanwhile; what they did is seen by
 * the plan's checksum, and no decision is written over a plan that the page hasn't shown.
 *
 * <p>The shoot is shown from what is kept of it; from {@link #begin} on its pictures are compared
 * in the background, and decisions can be made once that is done.
 */
final class ReviewDesk {
  private static final int MOST_UNDONE = 1_000;

  private final ShootPaths paths;
  private final List<EditMap> maps;
  private final List<String> recovered;
  private final Deque<PhotographerDecisions> undo = new ArrayDeque<>();
  private final Deque<PhotographerDecisions> redo = new ArrayDeque<>();
  private volatile Shown shown;
  private @Nullable Studied studied;
  private volatile @Nullable String problem;
  private volatile boolean changed;
  private volatile Runnable whenReady = () -> {};
  private boolean begun;

  /**
   * What the page shows.
   *
   * @param version checksum of the plan
   * @param ids number of each frame
   * @param files frame of each number
   * @param ready whether decisions can be made
   */
  record Shown(
      String version,
      Plan plan,
      Analysis analysis,
      ShootSummary summary,
      Proofs proofs,
      Map<String, Integer> ids,
      List<String> files,
      boolean ready) {
    /** The same, as it is before decisions can be made. */
    Shown unready() {
      return new Shown(version, plan, analysis, summary, proofs, ids, files, false);
    }
  }

  /** The plan is no longer the one that the page shows. */
  static final class Conflict extends Exception {
    private static final long serialVersionUID = 1;

    Conflict(String message) {
      super(message);
    }
  }

  private ReviewDesk(ShootPaths paths, List<EditMap> maps, Shown shown, List<String> recovered) {
    this.paths = paths;
    this.maps = maps;
    this.shown = shown;
    this.recovered = recovered;
  }

  /** Opens a shoot that has been grouped. */
  static ReviewDesk open(Path shoot, List<EditMap> maps) {
    try (ShootWork work = ShootWork.open(shoot)) {
      work.remember(maps);
      ShootPaths paths = work.paths();
      byte[] bytes = bytes(paths);
      CompletableFuture<FrameStore.Kept> frames =
          CompletableFuture.supplyAsync(() -> FrameStore.show(paths));
      Plan plan = PlanFile.read(paths);
      FrameStore.Kept kept = finished(frames);
      ShootWork.refuseStrangers(plan, kept.reading().frames(), paths);
      Shown shown = fromFiles(paths, version(bytes), plan, kept);
      return new ReviewDesk(paths, maps, shown, work.recovered());
    }
  }

  private static <T> T finished(CompletableFuture<T> work) {
    try {
      return work.join();
    } catch (CompletionException e) {
      if (e.getCause() instanceof RuntimeException problem) {
        throw problem;
      }
      throw e;
    }
  }

  private static Shown fromFiles(
      ShootPaths paths, String version, Plan plan, FrameStore.Kept kept) {
    Map<String, FrameLight> light = new HashMap<>();
    kept.light()
        .forEach((file, ev) -> light.put(file, new FrameLight(null, null, null, null, null, ev)));
    List<String> order = kept.reading().frames().stream().map(Frame::file).toList();
    Analysis analysis =
        new Analysis(
            plan.bodies(),
            plan.sections(),
            plan.groups(),
            plan.matches(),
            light,
            plan.unmatched(),
            order,
            Map.of(),
            Map.of(),
            plan.findings());
    return shown(
        version,
        plan,
        analysis,
        kept.reading(),
        Summarise.of(
            kept.reading(),
            analysis,
            plan.decisions().grades().keySet(),
            Set.of(),
            plan.decisions().keepers()),
        paths,
        false);
  }

  private static Shown shown(
      String version,
      Plan plan,
      Analysis analysis,
      ShootReading reading,
      ShootSummary summary,
      ShootPaths paths,
      boolean ready) {
    List<String> files = reading.frames().stream().map(Frame::file).toList();
    return new Shown(
        version,
        plan,
        analysis,
        summary,
        new Proofs(
            reading.frames(),
            plan.matches(),
            analysis.responses(),
            plan.decisions().grades(),
            paths::resolve),
        PageBuilder.ids(files),
        files,
        ready);
  }

  private void study() {
    Thread thread =
        new Thread(
            () -> {
              try {
                PhotographerDecisions decisions = shown.plan().decisions();
                Studied found =
                    Studied.of(
                        paths.root(),
                        FrameStore.load(paths, true),
                        maps,
                        decisions,
                        ComparedPictures.open(paths));
                ready(found);
                whenReady.run();
              } catch (RuntimeException e) {
                problem = String.valueOf(e.getMessage());
              }
            },
            "compare pictures");
    thread.setDaemon(true);
    thread.start();
  }

  /**
   * Begins to compare the pictures, unless that was done before.
   *
   * @param then what to do as soon as decisions can be made
   */
  synchronized void begin(Runnable then) {
    if (!begun) {
      begun = true;
      whenReady = then;
      study();
    }
  }

  /**
   * What would be shown after one of the decisions that somebody may make; nothing is kept. Java
   * has then compiled what the first decision needs.
   *
   * @param n any number: another one, another decision
   * @return null where there is none to rehearse, or a decision was made meanwhile
   */
  @Nullable Shown rehearsed(int n) {
    Studied own = studied;
    Shown now = shown;
    if (own == null || !now.ready() || changed || now.plan().groups().isEmpty()) {
      return null;
    }
    LightingGroup group = now.plan().groups().get(n % now.plan().groups().size());
    String frame = group.frames().get(group.frames().size() - 1);
    try {
      Deciding.Decided decided =
          Deciding.decide(
              now.plan().decisions(), now.analysis(), new Change.Reference(frame), own::analysis);
      ShootWork.Grouped grouped = own.grouped(decided.decisions(), decided.analysis(), null);
      PlanFile.write(OutputStream.nullOutputStream(), grouped.plan());
      return shown(now.version(), grouped, paths);
    } catch (ChangeRefusedException e) {
      return null;
    } catch (IOException e) {
      throw new UncheckedIOException(e); // nothing is written
    }
  }

  private synchronized void ready(Studied found) {
    studied = found;
    PhotographerDecisions decisions = shown.plan().decisions();
    ShootWork.Grouped grouped = found.grouped(decisions, found.analysis(decisions), null);
    if (!grouped.plan().groups().equals(shown.plan().groups())) {
      problem =
          "this version finds other groups than plan.json has: run `samelight group` on the shoot";
      return;
    }
    show(shown.version(), grouped);
  }

  private void show(String version, ShootWork.Grouped grouped) {
    shown = shown(version, grouped, paths);
  }

  /** What a shoot that was grouped just now shows. */
  static Shown shown(String version, ShootWork.Grouped grouped, ShootPaths paths) {
    return shown(
        version,
        grouped.plan(),
        grouped.analysis(),
        grouped.reading(),
        grouped.summary(),
        paths,
        true);
  }

  ShootPaths paths() {
    return paths;
  }

  /** What interrupted work was put right when the shoot was opened, in words. */
  List<String> recovered() {
    return recovered;
  }

  Shown shown() {
    return shown;
  }

  /** Why no decision can be made, or null. */
  @Nullable String problem() {
    return problem;
  }

  boolean canUndo() {
    return !undo.isEmpty();
  }

  boolean canRedo() {
    return !redo.isEmpty();
  }

  /**
   * Decides, and writes the plan durably before it returns.
   *
   * @param version of the plan that the page shows
   * @param meanwhile takes what will be shown while the plan is being written; what it makes of it
   *     counts only if this returns
   * @return what else was changed, in words
   * @throws Conflict if the plan is another by now; what is shown is then the new one
   * @throws ChangeRefusedException if it can't be done
   */
  synchronized List<String> decide(String version, Change change, Consumer<Shown> meanwhile)
      throws Conflict {
    try (ShootWork work = work(version)) {
      Studied own = own();
      PhotographerDecisions before = shown.plan().decisions();
      Deciding.Decided decided = Deciding.decide(before, shown.analysis(), change, own::analysis);
      keep(work, own.grouped(decided.decisions(), decided.analysis(), null), meanwhile);
      undo.push(before);
      if (undo.size() > MOST_UNDONE) {
        undo.removeLast();
      }
      redo.clear();
      return decided.notes();
    }
  }

  /** Takes the last decision back. */
  synchronized void undo(String version, Consumer<Shown> meanwhile) throws Conflict {
    step(version, undo, redo, "nothing to undo", meanwhile);
  }

  /** Makes a decision again that was taken back. */
  synchronized void redo(String version, Consumer<Shown> meanwhile) throws Conflict {
    step(version, redo, undo, "nothing to redo", meanwhile);
  }

  private void step(
      String version,
      Deque<PhotographerDecisions> from,
      Deque<PhotographerDecisions> to,
      String nothing,
      Consumer<Shown> meanwhile)
      throws Conflict {
    try (ShootWork work = work(version)) {
      Studied own = own();
      PhotographerDecisions wanted = from.peek();
      if (wanted == null) {
        throw new Conflict(nothing);
      }
      PhotographerDecisions before = shown.plan().decisions();
      keep(work, own.grouped(wanted, own.analysis(wanted), null), meanwhile);
      from.pop();
      to.push(before);
    }
  }

  private Studied own() throws Conflict {
    Studied own = studied;
    if (own == null || !shown.ready()) {
      throw new Conflict(
          problem == null
              ? "the pictures are still being compared; decide again in a moment"
              : String.valueOf(problem));
    }
    return own;
  }

  private void keep(ShootWork work, ShootWork.Grouped grouped, Consumer<Shown> meanwhile) {
    CompletableFuture<String> written =
        CompletableFuture.supplyAsync(
            () -> {
              PlanFile.write(work.paths(), grouped.plan());
              return version(bytes(paths));
            });
    try {
      meanwhile.accept(shown("", grouped, paths));
    } finally {
      changed = true;
      show(finished(written), grouped);
    }
  }

  /** Takes the lock; nothing is done on a plan that the page hasn't shown. */
  private ShootWork work(String version) throws Conflict {
    ShootWork work = ShootWork.open(paths.root());
    try {
      String now = version(bytes(paths));
      if (!now.equals(shown.version())) {
        reload(now);
        throw new Conflict(
            "a command changed the plan meanwhile: nothing was decided; look at it as it is now");
      }
      if (!version.equals(now)) {
        throw new Conflict(
            "another page changed the plan meanwhile: nothing was decided; look at it as it is now");
      }
      return work;
    } catch (RuntimeException | Conflict e) {
      work.close();
      throw e;
    }
  }

  private void reload(String version) {
    undo.clear();
    redo.clear();
    Plan plan = PlanFile.read(paths);
    shown = fromFiles(paths, version, plan, FrameStore.show(paths));
    problem = null;
    studied = null;
    study();
  }

  /** What a carry would do; nothing is written. */
  synchronized CarryPlan planned(String version) throws Conflict {
    try (ShootWork work = work(version)) {
      return carryPlan(work);
    }
  }

  private CarryPlan carryPlan(ShootWork work) {
    ShootReading reading = FrameStore.load(work.paths(), false);
    SidecarReader.Marked marked = SidecarReader.mark(work.paths().root(), reading.frames());
    Plan plan = shown.plan();
    return CarryPlan.of(
        new CarryRequest(
            work.paths().root(),
            marked.frames(),
            plan.groups(),
            plan.matches(),
            plan.decisions().grades(),
            maps,
            Set.of(),
            false));
  }

  /** Carries. */
  synchronized CarryResult carry(String version) throws Conflict {
    try (ShootWork work = work(version)) {
      CarryPlan plan = carryPlan(work);
      if (!maps.isEmpty()
          && plan.counts().getOrDefault(Outcome.WRITTEN, 0) > 0
          && (plan.newMap() || plan.tryFirst())) {
        throw new Conflict(
            "this edit map is new in this shoot: carry to one frame first, with"
                + " `samelight carry SHOOT --edit-map FILE` in a terminal");
      }
      CarryResult result = Carry.run(work.session(), plan, (done, all) -> {});
      if (result.carryId().isPresent()) {
        work.tell(CarriedSection.of(plan, result, Wording.now()));
      }
      return result;
    }
  }

  /** Takes the last carry back. */
  synchronized RevertResult revert(String version) throws Conflict {
    try (ShootWork work = work(version)) {
      RevertResult result = Revert.last(work.session(), false, (done, all) -> {});
      if (!result.carries().isEmpty()) {
        work.tell(CarriedSection.takenBack(Wording.now()));
      }
      return result;
    }
  }

  /** Renews the report where something was decided; the lock must be free. */
  synchronized void close() {
    Studied own = studied;
    if (changed && own != null) {
      try (ShootWork work = ShootWork.open(paths.root())) {
        if (version(bytes(paths)).equals(shown.version())) {
          work.report(own.grouped(shown.plan().decisions(), shown.analysis(), null));
          changed = false;
        }
      }
    }
  }

  /** What a carry's plan says, in lines. */
  static List<String> words(CarryPlan plan) {
    List<String> lines = new ArrayList<>();
    plan.counts()
        .forEach(
            (outcome, n) ->
                lines.add(
                    String.format(
                        Locale.ROOT,
                        "%,6d  %s",
                        n,
                        outcome == Outcome.WRITTEN ? "would be written" : outcome.words())));
    if (lines.isEmpty()) {
      lines.add("No frame to carry to.");
    }
    if (!plan.travelling().isEmpty()) {
      lines.add("Properties that travel: " + String.join(", ", names(plan.travelling())));
      lines.add(
          "Properties that stay with their frame: " + String.join(", ", names(plan.staying())));
    }
    plan.touches().forEach(t -> lines.add("kept as changed by hand: " + CarriedSection.touch(t)));
    if (!plan.needsEyes().isEmpty()) {
      lines.add(Wording.count(plan.needsEyes().size(), "of them needs eyes", "of them need eyes"));
    }
    return lines;
  }

  private static List<String> names(Iterable<?> properties) {
    List<String> names = new ArrayList<>();
    properties.forEach(p -> names.add(p.toString()));
    return names;
  }

  /** What a carry did, in one line. */
  static String words(CarryResult result) {
    Map<String, Integer> counts = new LinkedHashMap<>();
    result.counts().forEach((o, n) -> counts.merge(o.words(), n, Integer::sum));
    List<String> parts = new ArrayList<>();
    counts.forEach((what, n) -> parts.add(n + " " + what));
    return parts.isEmpty() ? "No frame to carry to." : String.join(", ", parts) + ".";
  }

  private static byte[] bytes(ShootPaths paths) {
    Path file = paths.resolve(PlanFile.NAME);
    try {
      return Files.readAllBytes(file);
    } catch (IOException e) {
      throw new RefusedInputException(
          file.toString(),
          "must be a plan that can be read",
          DurableFile.reasonOf(e),
          "Run `samelight group SHOOT` first",
          e);
    }
  }

  private static String version(byte[] bytes) {
    return ContentHash.of(bytes).substring(0, 24);
  }
}
