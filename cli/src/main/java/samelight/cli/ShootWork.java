package samelight.cli;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import samelight.engine.Analysis;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.metadata.ReadProgress;
import samelight.engine.metadata.ShootReader;
import samelight.engine.metadata.ShootReading;
import samelight.engine.report.CarriedSection;
import samelight.engine.report.HtmlReport;
import samelight.engine.report.Proofs;
import samelight.engine.report.ShootSummary;
import samelight.engine.report.Wording;
import samelight.engine.review.Change;
import samelight.engine.review.Deciding;
import samelight.engine.sidecar.EditMap;
import samelight.engine.sidecar.SidecarSession;
import samelight.engine.store.ComparedPictures;
import samelight.engine.store.FrameStore;
import samelight.engine.store.PhotographerDecisions;
import samelight.engine.store.Plan;
import samelight.engine.store.PlanFile;

/** One shoot under work: the steps that the commands are made of. Holds the shoot's lock. */
final class ShootWork implements AutoCloseable {
  /** Where the report lies, relative to the shoot. */
  static final String REPORT = "samelight/report.html";

  /** Folder of copies of the edit maps that were used here, so that later commands know them. */
  static final String MAPS = "samelight/edit-maps";

  private final SidecarSession session;

  /** Whether {@code samelight/} was made for this work and holds nothing that is to stay. */
  private boolean bare;

  /**
   * A shoot with its groups.
   *
   * @param reading what was read, sidecars' ratings included
   * @param setAside why what was kept of an earlier reading couldn't be used, or null
   */
  record Grouped(
      ShootReading reading,
      Analysis analysis,
      Plan plan,
      ShootSummary summary,
      @Nullable String setAside) {}

  private ShootWork(SidecarSession session, boolean bare) {
    this.session = session;
    this.bare = bare;
  }

  /** Opens a shoot for writing; the folder must exist and hold something. */
  static ShootWork open(Path shoot) {
    ShootPaths paths = ShootPaths.of(shoot);
    refuseEmpty(paths);
    boolean bare = !Files.exists(paths.own(), LinkOption.NOFOLLOW_LINKS);
    return new ShootWork(SidecarSession.open(paths.root()), bare);
  }

  SidecarSession session() {
    return session;
  }

  ShootPaths paths() {
    return session.shoot();
  }

  /**
   * What interrupted work was put right before anything else, in words; empty where nothing was.
   */
  List<String> recovered() {
    List<String> lines = new ArrayList<>();
    if (!session.recovered().carries().isEmpty()) {
      lines.add(
          "a carry that was interrupted has been undone: "
              + session.recovered().sidecars().size()
              + " sidecars are as they were before it; carry again when ready");
    }
    session
        .lockTakenOver()
        .ifPresent(
            who -> lines.add("took over the lock that an ended command had left (" + who + ")"));
    return lines;
  }

  /**
   * Reads the shoot, groups it and keeps the result.
   *
   * @param check may refuse what was read, before anything is kept
   */
  Grouped group(
      UnaryOperator<PhotographerDecisions> change,
      Consumer<ShootReading> check,
      ReadProgress progress)
      throws IOException {
    PhotographerDecisions decisions =
        PlanFile.exists(paths()) ? PlanFile.read(paths()).decisions() : PhotographerDecisions.NONE;
    FrameStore store = FrameStore.open(paths());
    ShootReading read = new ShootReader().read(paths().root(), store, progress);
    if (read.frames().isEmpty()) {
      throw new RefusedInputException(
          paths().root().toString(),
          "must hold at least one frame",
          Wording.count(read.files().size(), "file")
              + ", none of them a readable frame"
              + first(read.findings()),
          "Copy the frames into this folder, or name the right one");
    }
    check.accept(read);
    ComparedPictures memory = ComparedPictures.open(paths());
    Grouped grouped = analyse(read, change.apply(decisions), store.setAside(), memory);
    bare = false;
    store.write(read, grouped.analysis().light());
    memory.write();
    keep(grouped);
    return grouped;
  }

  /** Groups what was read before under other decisions, and keeps the result. */
  Grouped decide(UnaryOperator<PhotographerDecisions> change) {
    PhotographerDecisions decisions = change.apply(PlanFile.read(paths()).decisions());
    ComparedPictures memory = ComparedPictures.open(paths());
    Grouped grouped = analyse(FrameStore.load(paths(), true), decisions, null, memory);
    memory.write();
    keep(grouped);
    return grouped;
  }

  /**
   * A decision was added.
   *
   * @param grouped how the shoot is grouped now
   * @param notes what else had to be changed, in words
   */
  record Changed(Grouped grouped, List<String> notes) {}

  /**
   * Adds a decision to those that were made before, and keeps the result.
   *
   * @throws samelight.engine.review.ChangeRefusedException if it can't be done; nothing is changed
   */
  Changed decide(Change change) {
    PhotographerDecisions before = PlanFile.read(paths()).decisions();
    ComparedPictures memory = ComparedPictures.open(paths());
    Studied studied = study(FrameStore.load(paths(), true), before, memory);
    memory.write();
    Deciding.Decided decided =
        Deciding.decide(before, studied.analysis(before), change, studied::analysis);
    Grouped grouped = studied.grouped(decided.decisions(), decided.analysis(), null);
    keep(grouped);
    return new Changed(grouped, decided.notes());
  }

  /** All frames by the body that made this one. */
  Set<String> ofBody(String frame) {
    List<Frame> frames = FrameStore.load(paths(), false).frames();
    Set<String> own = new HashSet<>();
    for (Frame f : frames) {
      if (f.file().equals(frame)) {
        frames.stream().filter(g -> g.body().equals(f.body())).forEach(g -> own.add(g.file()));
      }
    }
    return own;
  }

  /** Groups what was read before as it was decided before, and keeps nothing. */
  Grouped again() {
    PhotographerDecisions decisions = PlanFile.read(paths()).decisions();
    return analyse(FrameStore.load(paths(), true), decisions, null, ComparedPictures.open(paths()));
  }

  private Grouped analyse(
      ShootReading read,
      PhotographerDecisions decisions,
      @Nullable String setAside,
      ComparisonMemory memory) {
    Studied studied = study(read, decisions, memory);
    return studied.grouped(decisions, studied.analysis(decisions), setAside);
  }

  /** Compares the pictures of a shoot, sidecars' marks included. */
  private Studied study(
      ShootReading read, PhotographerDecisions decisions, ComparisonMemory memory) {
    return Studied.of(paths().root(), read, maps(paths()), decisions, memory);
  }

  private void keep(Grouped grouped) {
    PlanFile.write(paths(), grouped.plan());
    report(grouped);
  }

  /** Writes the report, and keeps the page with which a review begins. */
  void report(Grouped grouped) {
    String carried = carried();
    DurableFile.write(
        paths().resolve(REPORT),
        out ->
            HtmlReport.write(
                carried == null ? out : CarriedSection.inPlace(out, carried),
                paths().name(),
                grouped.summary(),
                proofs(grouped),
                grouped.plan().decisions().grades()));
    KeptPage.write(paths(), ReviewPages.first(grouped, paths()));
  }

  /** Pictures of the shoot, with its matches and stated grades. */
  private Proofs proofs(Grouped grouped) {
    return new Proofs(
        grouped.reading().frames(),
        grouped.plan().matches(),
        grouped.analysis().responses(),
        grouped.plan().decisions().grades(),
        paths()::resolve);
  }

  /** Has the report say what the last carry did; where there is no report there is none to tell. */
  void tell(CarriedSection section) {
    Path report = paths().resolve(REPORT);
    if (Files.isRegularFile(report)) {
      DurableFile.write(
          report,
          out -> {
            try (InputStream old = Files.newInputStream(report)) {
              OutputStream whole = CarriedSection.inPlace(out, section.html());
              old.transferTo(whole);
              whole.flush();
            }
          });
    }
  }

  /** What the report says of the last carry, or null. */
  private @Nullable String carried() {
    Path report = paths().resolve(REPORT);
    if (!Files.isRegularFile(report)) {
      return null;
    }
    try (InputStream old = Files.newInputStream(report)) {
      return CarriedSection.in(old).orElse(null);
    } catch (IOException e) {
      return null; // the page is made anew
    }
  }

  /** Keeps copies of edit maps. */
  void remember(List<EditMap> maps) {
    for (EditMap map : maps) {
      Path file = paths().resolve(MAPS + "/" + map.id() + ".json");
      if (!Files.exists(file)) {
        try {
          Files.createDirectories(paths().resolve(MAPS));
        } catch (IOException e) {
          throw DurableFile.couldNotWrite(file, e);
        }
        DurableFile.write(file, map.toJson().getBytes(StandardCharsets.UTF_8));
      }
    }
  }

  /** The edit maps that were used in a shoot. */
  static List<EditMap> maps(ShootPaths paths) {
    Path folder = paths.resolve(MAPS);
    if (!Files.isDirectory(folder)) {
      return List.of();
    }
    try (Stream<Path> files = Files.list(folder)) {
      return files
          .filter(f -> f.toString().endsWith(".json"))
          .sorted()
          .map(f -> EditMap.read(paths.resolve(paths.relative(f))))
          .toList();
    } catch (IOException e) {
      throw new RefusedInputException(
          folder.toString(),
          "must be a folder that can be read",
          DurableFile.reasonOf(e),
          "Check its permissions",
          e);
    }
  }

  /** Refuses a plan that tells of frames that were not read. */
  static void refuseStrangers(Plan plan, List<Frame> frames, ShootPaths paths) {
    Set<String> known = new HashSet<>();
    frames.forEach(f -> known.add(f.file()));
    for (String frame : plan.matches().keySet()) {
      if (!known.contains(frame)) {
        throw new RefusedInputException(
            paths.root().resolve(PlanFile.NAME).toString(),
            "must tell of frames that " + FrameStore.NAME + " has",
            '"' + frame + '"',
            "Run `samelight group` on the shoot again");
      }
    }
  }

  /** The frame at a path: for the JPEG of a pair, the frame of its raw. */
  String frame(Path given) {
    return frame(given, FrameStore.load(paths(), false));
  }

  String frame(Path given, ShootReading reading) {
    String relative = paths().relative(real(given));
    for (Frame frame : reading.frames()) {
      if (frame.file().equals(relative) || relative.equals(frame.paired())) {
        return frame.file();
      }
    }
    throw new RefusedInputException(
        given.toString(),
        "must be a frame of the shoot " + paths().root(),
        "a file that was not there when `samelight group` last ran, or is no frame",
        "Check the name, or run `samelight group` on the shoot again");
  }

  /** The frames at some paths, each once. */
  List<String> frames(List<Path> given) {
    ShootReading reading = FrameStore.load(paths(), false);
    return given.stream().map(path -> frame(path, reading)).distinct().toList();
  }

  /** Opens the shoot that a frame lies in: the nearest folder above it that has a plan. */
  static ShootWork around(Path frame) {
    Path real = real(frame);
    for (Path folder = real.getParent(); folder != null; folder = folder.getParent()) {
      if (Files.exists(folder.resolve(PlanFile.NAME), LinkOption.NOFOLLOW_LINKS)) {
        return new ShootWork(SidecarSession.open(folder), false);
      }
    }
    throw new RefusedInputException(
        frame.toString(),
        "must lie in a shoot that has been grouped",
        "no " + PlanFile.NAME + " in its folder or above",
        "Run `samelight group SHOOT` first");
  }

  /** The path with the links of its folders followed, but not a link that it is itself. */
  static Path real(Path given) {
    Path absolute = given.toAbsolutePath().normalize();
    Path folder = absolute.getParent();
    Path name = absolute.getFileName();
    if (folder == null || name == null || !Files.exists(absolute, LinkOption.NOFOLLOW_LINKS)) {
      throw new RefusedInputException(
          given.toString(), "must be a frame", "no such file", "Check the spelling");
    }
    try {
      return folder.toRealPath().resolve(name);
    } catch (IOException e) {
      throw new RefusedInputException(
          given.toString(), "must be a frame", DurableFile.reasonOf(e), "Check the spelling", e);
    }
  }

  private static void refuseEmpty(ShootPaths paths) {
    try (Stream<Path> entries = Files.list(paths.root())) {
      if (entries.allMatch(paths.own()::equals)) {
        throw new RefusedInputException(
            paths.root().toString(),
            "must hold frames",
            "an empty folder",
            "Copy the frames into this folder, or name the right one");
      }
    } catch (IOException e) {
      throw new RefusedInputException(
          paths.root().toString(),
          "must be a folder that can be read",
          DurableFile.reasonOf(e),
          "Check its permissions",
          e);
    }
  }

  private static String first(List<Finding> findings) {
    return findings.isEmpty() ? "" : " (the first: " + findings.get(0) + ")";
  }

  @Override
  public void close() {
    session.close();
    if (bare) {
      try {
        Files.deleteIfExists(paths().own().resolve("lock"));
        Files.deleteIfExists(paths().own());
      } catch (IOException e) {
        // not empty, or not ours to delete: it harms nobody
      }
    }
  }
}
