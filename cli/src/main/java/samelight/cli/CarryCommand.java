package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.metadata.ShootReading;
import samelight.engine.report.CarriedSection;
import samelight.engine.report.Wording;
import samelight.engine.sidecar.Carry;
import samelight.engine.sidecar.CarryPlan;
import samelight.engine.sidecar.CarryRequest;
import samelight.engine.sidecar.CarryResult;
import samelight.engine.sidecar.Corrections;
import samelight.engine.sidecar.EditMap;
import samelight.engine.sidecar.FileKind;
import samelight.engine.sidecar.FrameOutcome;
import samelight.engine.sidecar.HandTouch;
import samelight.engine.sidecar.Outcome;
import samelight.engine.sidecar.SidecarReader;
import samelight.engine.store.FrameStore;
import samelight.engine.store.Plan;
import samelight.engine.store.PlanFile;

/** Writes the recipes of the graded groups. */
@Command(
    name = "carry",
    description = {
      "Write the recipes of every graded group into XMP sidecars; `samelight revert` undoes it.",
      "Without an edit map the grades come from `samelight grade` and only samelight's own"
          + " properties are written."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight carry 2026-06-13-garden --edit-map my-editor.json --dry-run")
final class CarryCommand extends ShootCommand {
  private static final int NAMED = 5;

  @Parameters(paramLabel = "SHOOT", description = "A shoot that has been grouped.")
  @Nullable Path shoot;

  @Option(
      names = "--group",
      paramLabel = "ID",
      description = "Carry this group only; may be given several times.")
  Set<String> groups = new LinkedHashSet<>();

  @Option(
      names = "--edit-map",
      paramLabel = "FILE",
      description =
          "Which properties of your raw editor hold exposure and white balance; the grade is read"
              + " from the reference's sidecar. At most one for each kind of file.")
  List<Path> editMaps = new ArrayList<>();

  @Option(names = "--dry-run", description = "Say what would be written, write nothing.")
  boolean dryRun;

  @Option(
      names = "--print",
      description =
          "Print the corrections of every frame as a list in sixths of a stop, to work from by hand"
              + " where your raw editor's edits can't be carried; write nothing.")
  boolean print;

  @Option(names = "--yes", description = "Don't ask before the first carry with a new edit map.")
  boolean yes;

  @Option(
      names = "--over-touches",
      description = "Write over what a person changed by hand since the last carry.")
  boolean overTouches;

  @Override
  Answer answer() {
    List<EditMap> maps = editMaps.stream().map(EditMap::read).toList();
    refuseTwoMapsForOneKind(maps);
    try (ShootWork work = ShootWork.open(Objects.requireNonNull(shoot));
        ProgressLine line = new ProgressLine(terminal(), "sidecar")) {
      work.recovered().forEach(this::note);
      Plan plan = PlanFile.read(work.paths());
      ShootReading reading = FrameStore.load(work.paths(), false);
      ShootWork.refuseStrangers(plan, reading.frames(), work.paths());
      refuseUnknownGroup(plan);
      if (print) {
        return corrections(plan);
      }
      SidecarReader.Marked marked = SidecarReader.mark(work.paths().root(), reading.frames());
      CarryPlan carry =
          CarryPlan.of(
              new CarryRequest(
                  work.paths().root(),
                  marked.frames(),
                  plan.groups(),
                  plan.matches(),
                  plan.decisions().grades(),
                  maps,
                  groups,
                  overTouches,
                  plan.decisions().keepers().proposedOut()));
      if (carry.mixedNames()) {
        note(
            "this shoot has sidecars of both names, NAME.xmp and NAME.EXT.xmp; each frame's is kept");
      }
      if (dryRun) {
        return planned(carry);
      }
      CarryPlan agreed = agree(carry, !maps.isEmpty());
      if (agreed == null) {
        return new Answer(
            ExitStatus.ATTENTION, List.of("Nothing written, as you chose."), Map.of("written", 0));
      }
      work.remember(maps);
      CarryResult result = Carry.run(work.session(), agreed, line::at);
      if (result.carryId().isPresent()) {
        work.tell(CarriedSection.of(agreed, result, Wording.now()));
      }
      return done(agreed, result, agreed != carry);
    }
  }

  private void refuseTwoMapsForOneKind(List<EditMap> maps) {
    for (FileKind kind : FileKind.values()) {
      if (maps.stream().filter(m -> m.fits(kind)).count() > 1) {
        throw usage(
            "--edit-map must be at most one for each kind of file, were "
                + editMaps.size()
                + " for "
                + kind.name().toLowerCase(Locale.ROOT)
                + " (\"files\" in a map says its kind)");
      }
    }
  }

  private void refuseUnknownGroup(Plan plan) {
    Set<String> ids = new TreeSet<>();
    plan.groups().stream().map(LightingGroup::id).forEach(ids::add);
    for (String id : groups) {
      if (!ids.contains(id)) {
        throw usage(
            "--group must be the id of a group of this shoot, such as "
                + String.join(", ", ids.stream().limit(NAMED).toList())
                + "; was "
                + id);
      }
    }
  }

  private Answer corrections(Plan plan) {
    List<LightingGroup> asked =
        plan.groups().stream().filter(g -> groups.isEmpty() || groups.contains(g.id())).toList();
    List<String> lines = new ArrayList<>();
    List<Object> json = new ArrayList<>();
    String group = "";
    for (Corrections.Correction c : Corrections.of(asked, plan.matches())) {
      if (!c.group().equals(group)) {
        group = c.group();
        lines.add("group " + group + ", add to what the reference " + c.reference() + " has:");
      }
      lines.add("  " + c.line());
      Map<String, @Nullable Object> entry = new LinkedHashMap<>();
      entry.put("group", c.group());
      entry.put("frame", c.frame());
      entry.put("reference", c.reference());
      entry.put("sixthsOfAStop", c.sixths());
      entry.put("mired", c.mired());
      entry.put("needsEyes", c.needsEyes());
      json.add(entry);
    }
    return new Answer(ExitStatus.DONE, lines, Map.of("corrections", json));
  }

  /** The plan to write: all, a trial of one frame, or null where the answer was no. */
  private @Nullable CarryPlan agree(CarryPlan carry, boolean withMap) {
    boolean asks = !yes && terminal().asks();
    if (!withMap || carry.counts().getOrDefault(Outcome.WRITTEN, 0) == 0) {
      return carry;
    }
    String saved =
        "has your raw editor saved its edits out to the sidecars? What it has not saved is not"
            + " carried";
    if (!carry.newMap() && !carry.tryFirst()) {
      if (!asks) {
        note(saved);
        return carry;
      }
      return isYes(terminal().ask("samelight: " + saved + " (yes, no): ")) ? carry : null;
    }
    note("this edit map is new in this shoot; these properties will travel:");
    carry.travelling().forEach(p -> note("  " + p));
    if (!carry.staying().isEmpty()) {
      note("these stay with their own frame:");
      carry.staying().forEach(p -> note("  " + p));
    }
    note(saved);
    note(
        "sidecars are no backup; try on a copy of the shoot first; close the raw editor, or have it"
            + " read the sidecars again afterwards");
    if (carry.tryFirst()) {
      note(
          "this editor keeps its edits inside the frames: one frame is carried to, to see whether"
              + " the editor takes in what a sidecar says");
      return !asks || isYes(terminal().ask("Carry to one frame (yes, no): "))
          ? carry.trial()
          : null;
    }
    if (!asks) {
      return carry;
    }
    String answer = terminal().ask("Carry to one frame first (one), to all (all), or not (no): ");
    return answer.equals("one") ? carry.trial() : isYes(answer) ? carry : null;
  }

  private static boolean isYes(String answer) {
    return Set.of("yes", "y", "all").contains(answer);
  }

  private Answer planned(CarryPlan carry) {
    List<String> lines = new ArrayList<>();
    lines.add("Dry run, nothing written.");
    if (!carry.travelling().isEmpty()) {
      lines.add("These properties of your raw editor will travel:");
      carry.travelling().forEach(p -> lines.add("  " + p));
    }
    if (!carry.staying().isEmpty()) {
      lines.add("These stay with their own frame:");
      carry.staying().forEach(p -> lines.add("  " + p));
    }
    counts(carry.counts(), true, lines);
    attention(carry.outcomes(), lines);
    touches(carry.touches(), lines);
    beside(carry, lines);
    lines.add("Next: the same command without --dry-run.");
    boolean attention = carry.outcomes().stream().anyMatch(o -> o.outcome().attention());
    Map<String, @Nullable Object> json = json(carry.counts(), carry.outcomes(), carry.touches());
    json.put("dryRun", true);
    beside(carry, json);
    json.put("travelling", carry.travelling().stream().map(Object::toString).toList());
    json.put("staying", carry.staying().stream().map(Object::toString).toList());
    return new Answer(attention ? ExitStatus.ATTENTION : ExitStatus.DONE, lines, json);
  }

  private static Answer done(CarryPlan plan, CarryResult result, boolean trial) {
    List<String> lines = new ArrayList<>();
    counts(result.counts(), false, lines);
    if (!result.needsEyes().isEmpty()) {
      lines.add(
          Wording.count(
                  result.needsEyes().size(), "carried frame needs eyes", "carried frames need eyes")
              + ": "
              + some(result.needsEyes()));
    }
    attention(result.outcomes(), lines);
    touches(result.touches(), lines);
    beside(plan, lines);
    List<String> written =
        result.outcomes().stream()
            .filter(o -> o.outcome() == Outcome.WRITTEN)
            .map(FrameOutcome::frame)
            .toList();
    if (!written.isEmpty()) {
      lines.add("To be read again by your raw editor: " + byFolder(written));
    }
    if (trial && !written.isEmpty()) {
      lines.add(
          "Next: have your raw editor read the metadata of that frame again and look at it; if it is"
              + " as it should be, the same command carries to the others. `samelight revert SHOOT`"
              + " takes this one back.");
    } else if (result.count(Outcome.WRITTEN) > 0) {
      lines.add(
          "Next: have your raw editor read the sidecars again, and look at the frames that need"
              + " eyes. `samelight revert SHOOT` takes this carry back.");
    } else if (result.count(Outcome.NO_GRADE) > 0 && result.count(Outcome.UNCHANGED) == 0) {
      lines.add(
          "Next: grade the references, in your raw editor (then --edit-map) or with"
              + " `samelight grade`.");
    }
    Map<String, @Nullable Object> json = json(result.counts(), result.outcomes(), result.touches());
    json.put("dryRun", false);
    json.put("trial", trial);
    beside(plan, json);
    json.put("carry", result.id());
    json.put("needsEyes", result.needsEyes());
    return new Answer(status(result), lines, json);
  }

  private static ExitStatus status(CarryResult result) {
    if (result.count(Outcome.COULD_NOT_WRITE) > 0) {
      return ExitStatus.NOT_WRITTEN;
    }
    return result.attention() ? ExitStatus.ATTENTION : ExitStatus.DONE;
  }

  private static void counts(Map<Outcome, Integer> counts, boolean dry, List<String> lines) {
    if (counts.isEmpty()) {
      lines.add("No frame to carry to.");
    }
    counts.forEach(
        (outcome, n) ->
            lines.add(
                String.format(
                    Locale.ROOT,
                    "  %,6d  %s",
                    n,
                    dry && outcome == Outcome.WRITTEN ? "would be written" : outcome.words())));
  }

  private static void attention(List<FrameOutcome> outcomes, List<String> lines) {
    Map<String, List<String>> named = new LinkedHashMap<>();
    for (FrameOutcome o : outcomes) {
      boolean said = o.outcome().attention() || o.outcome() == Outcome.EDITED_BEFORE;
      if (said && o.outcome() != Outcome.NO_GRADE) {
        named
            .computeIfAbsent(o.outcome().words(), w -> new ArrayList<>())
            .add(o.frame() + (o.detail().isEmpty() ? "" : " (" + o.detail() + ")"));
      } else if (o.outcome() == Outcome.NO_GRADE) {
        List<String> groups =
            named.computeIfAbsent("groups without a grade", w -> new ArrayList<>());
        String id = String.valueOf(o.group());
        if (groups.isEmpty() || !groups.contains(id)) {
          groups.add(id);
        }
      }
    }
    named.forEach((what, who) -> lines.add(what + ": " + some(who)));
  }

  private static void touches(List<HandTouch> touches, List<String> lines) {
    if (!touches.isEmpty()) {
      lines.add(
          "Kept as changed by hand: " + some(touches.stream().map(CarriedSection::touch).toList()));
    }
  }

  /** What else a person should know: frames that test the match, and sidecars left alone. */
  private static void beside(CarryPlan plan, List<String> lines) {
    if (!plan.matchTests().isEmpty()) {
      lines.add(
          "Edited before, as a test of the match: "
              + some(plan.matchTests().stream().map(CarriedSection::test).toList()));
    }
    if (!plan.otherSidecars().isEmpty()) {
      lines.add(
          Wording.count(plan.otherSidecars().size(), "sidecar")
              + " of other renderings of a frame, not touched: "
              + some(plan.otherSidecars()));
    }
  }

  private static void beside(CarryPlan plan, Map<String, @Nullable Object> json) {
    json.put("otherSidecars", plan.otherSidecars());
    json.put("mixedNames", plan.mixedNames());
    json.put(
        "matchTests",
        plan.matchTests().stream()
            .map(
                t ->
                    Map.of(
                        "frame", t.frame(),
                        "exposureByHand", t.own().stops(),
                        "exposureByMatch", t.matched().stops()))
            .toList());
  }

  /** Few frames by name, many by folder. */
  private static String byFolder(List<String> frames) {
    if (frames.size() <= NAMED) {
      return String.join(", ", frames);
    }
    Map<String, Integer> folders = new TreeMap<>();
    for (String f : frames) {
      folders.merge(f.substring(0, f.lastIndexOf('/') + 1), 1, Integer::sum);
    }
    List<String> named = new ArrayList<>();
    folders.forEach(
        (folder, n) ->
            named.add(
                Wording.count(n, "frame") + " in " + (folder.isEmpty() ? "the shoot" : folder)));
    return String.join(", ", named) + " (--json names them)";
  }

  private static String some(List<String> names) {
    String text = String.join(", ", names.subList(0, Math.min(NAMED, names.size())));
    return names.size() > NAMED ? text + " and " + (names.size() - NAMED) + " more" : text;
  }

  private static Map<String, @Nullable Object> json(
      Map<Outcome, Integer> counts, List<FrameOutcome> outcomes, List<HandTouch> touches) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    Map<String, Integer> named = new LinkedHashMap<>();
    counts.forEach((outcome, n) -> named.put(outcome.name().toLowerCase(Locale.ROOT), n));
    json.put("counts", named);
    List<Object> frames = new ArrayList<>();
    for (FrameOutcome o : outcomes) {
      Map<String, @Nullable Object> frame = new LinkedHashMap<>();
      frame.put("frame", o.frame());
      frame.put("group", o.group());
      frame.put("sidecar", o.sidecar());
      frame.put("outcome", o.outcome().name().toLowerCase(Locale.ROOT));
      frame.put("detail", o.detail());
      frames.add(frame);
    }
    json.put("frames", frames);
    json.put(
        "touches",
        touches.stream()
            .map(
                t ->
                    Map.of(
                        "frame", t.frame(), "property", t.property().toString(), "kept", t.words()))
            .toList());
    return json;
  }
}
