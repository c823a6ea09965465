package samelight.cli;

import java.nio.file.Path;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.frame.Frame;
import samelight.engine.keepers.FrameQuality;
import samelight.engine.keepers.Keepers;
import samelight.engine.keepers.Keeping;
import samelight.engine.keepers.MustHave;
import samelight.engine.keepers.QualityReader;
import samelight.engine.keepers.Take;
import samelight.engine.lighting.Framings;
import samelight.engine.metadata.ShootReading;
import samelight.engine.report.Wording;
import samelight.engine.sidecar.Ratings;
import samelight.engine.sidecar.SidecarReader;
import samelight.engine.store.ComparedPictures;
import samelight.engine.store.FrameStore;
import samelight.engine.store.PhotographerDecisions;
import samelight.engine.store.Plan;
import samelight.engine.store.PlanFile;
import samelight.engine.timeline.BodyClocks;
import samelight.engine.timeline.TimedFrame;
import samelight.engine.timeline.Timeline;

/** Proposes which of the frames that are alike to keep. */
@Command(
    name = "keepers",
    description = {
      "Rank the frames that are alike by sharpness, clipping and exposure, and propose which to keep.",
      "A frame that is proposed out gets no recipe and stays a witness of the light; one that you"
          + " rated is never proposed out. Nothing is deleted, and sidecars are written only with"
          + " --mark. Faces and closed eyes are not looked for: look yourself."
    },
    footerHeading = "%nExample:%n",
    footer = {
      "  samelight keepers 2026-06-13-garden --keep 2 \\",
      "      --must \"grandmother with the couple\" 15:40-15:55"
    })
final class KeepersCommand extends ShootCommand {
  private static final int MOST_SHOWN = 40;

  @Parameters(paramLabel = "SHOOT", description = "A shoot that has been grouped.")
  @Nullable Path shoot;

  @Option(
      names = "--keep",
      paramLabel = "N",
      description =
          "How many frames of each framing to keep; remembered (at first 1). 0 proposes none out.")
  @Nullable Integer keep;

  @Option(
      names = "--must",
      arity = "2",
      paramLabel = "TEXT FROM-TO",
      hideParamSyntax = true,
      description =
          "A picture that was asked for, and the shoot's time in which it was taken, such as"
              + " \"grandmother with the couple\" 15:40-15:55: frames of that time are not proposed"
              + " out; remembered. May be given again.")
  List<String> musts = new ArrayList<>();

  @Option(names = "--forget-musts", description = "Forget the pictures that were asked for before.")
  boolean forgetMusts;

  @Option(
      names = "--mark",
      description =
          "Write xmp:Rating -1 to the sidecars of frames that are proposed out, where nobody set a"
              + " rating; `samelight revert` takes it back.")
  boolean mark;

  @Override
  Answer answer() {
    Integer asked = keep;
    if (asked != null && asked < 0) {
      throw usage("--keep must be 0 or more, was " + asked);
    }
    try (ShootWork work = ShootWork.open(Objects.requireNonNull(shoot))) {
      work.recovered().forEach(this::note);
      Plan plan = PlanFile.read(work.paths());
      ShootReading reading = FrameStore.load(work.paths(), true);
      ShootWork.refuseStrangers(plan, reading.frames(), work.paths());
      SidecarReader.Marked marked = SidecarReader.mark(work.paths().root(), reading.frames());
      List<Frame> frames = marked.frames();
      Map<String, Double> offsets = BodyClocks.offsets(plan.bodies());
      List<TimedFrame> day = Timeline.of(frames, offsets, new ArrayList<>());
      Keeping before = plan.decisions().keepers();
      Set<MustHave> all = new LinkedHashSet<>(forgetMusts ? List.of() : before.musts());
      all.addAll(asked(day));
      int number = asked != null ? asked : before.equals(Keeping.NONE) ? 1 : before.keep();
      Set<String> ours = Ratings.ours(work.paths().root(), frames);
      Map<String, String> settled = settled(frames, day, plan, all, ours);
      List<Take> takes = takes(work, frames, day, settled, ours, number);
      Keeping keeping = new Keeping(number, List.copyOf(all), takes);
      ShootWork.Grouped grouped = work.decide(d -> d.withKeepers(keeping));
      Ratings.Result rated = null;
      if (mark) {
        try (ProgressLine line = new ProgressLine(terminal(), "sidecar")) {
          rated = Ratings.mark(work.session(), frames, keeping.proposedOut(), line::at);
        }
      }
      return answer(work, keeping, grouped, rated);
    }
  }

  private List<Take> takes(
      ShootWork work,
      List<Frame> frames,
      List<TimedFrame> day,
      Map<String, String> settled,
      Set<String> ours,
      int number) {
    Map<String, FrameQuality> qualities = new HashMap<>();
    try (ProgressLine line = new ProgressLine(terminal(), "measuring frame")) {
      for (FrameQuality q : QualityReader.read(work.paths(), frames, line::at)) {
        qualities.put(q.frame(), q);
      }
    }
    Set<String> rejected = new HashSet<>();
    for (Frame f : frames) {
      if (f.marks().rejected() && !ours.contains(f.file())) {
        rejected.add(f.file()); // a person said no: nothing more to propose
      }
    }
    List<List<String>> framings = new ArrayList<>();
    for (List<String> framing : Framings.find(day, ComparedPictures.open(work.paths())).alike()) {
      List<String> rest = framing.stream().filter(f -> !rejected.contains(f)).toList();
      if (!rest.isEmpty()) {
        framings.add(rest);
      }
    }
    return Keepers.propose(framings, qualities, settled, number == 0 ? Integer.MAX_VALUE : number);
  }

  /** Frames on which a person has the word, and why. */
  private static Map<String, String> settled(
      List<Frame> frames, List<TimedFrame> day, Plan plan, Set<MustHave> musts, Set<String> ours) {
    PhotographerDecisions decisions = plan.decisions();
    Map<String, String> settled = new HashMap<>();
    for (TimedFrame f : day) {
      LocalDateTime time = time(f);
      for (MustHave must : musts) {
        if (time != null && !time.isBefore(must.from()) && !time.isAfter(must.to())) {
          settled.put(f.frame().file(), "asked for: " + must.text());
        }
      }
    }
    // brackets and panoramas are one picture in several frames
    plan.unmatched().forEach(settled::put);
    decisions.grades().keySet().forEach(f -> settled.put(f, "you graded it"));
    decisions.lighting().references().forEach(f -> settled.put(f, "you made it a reference"));
    for (Frame f : frames) {
      Double rating = f.marks().rating();
      if (rating != null && rating > 0 && !ours.contains(f.file())) {
        settled.put(f.file(), String.format(Locale.ROOT, "you rated it %.0f", rating));
      }
    }
    return settled;
  }

  private static @Nullable LocalDateTime time(TimedFrame f) {
    double seconds = f.seconds();
    if (Double.isNaN(seconds) || f.frame().time() == null) {
      return null;
    }
    return LocalDateTime.ofEpochSecond(
        (long) Math.floor(seconds),
        (int) ((seconds - Math.floor(seconds)) * 1e9),
        java.time.ZoneOffset.UTC);
  }

  private List<MustHave> asked(List<TimedFrame> day) {
    LocalDate date = null;
    for (TimedFrame f : day) {
      LocalDateTime time = time(f);
      date = date == null && time != null ? time.toLocalDate() : date;
    }
    List<MustHave> out = new ArrayList<>();
    for (int i = 0; i + 1 < musts.size(); i += 2) {
      String span = musts.get(i + 1);
      String[] ends = span.split("(?<=:\\d\\d)-", -1);
      if (ends.length != 2 || date == null) {
        throw usage("--must must be TEXT and a span such as 15:40-15:55, was " + span);
      }
      LocalDateTime from = moment(ends[0], date, span);
      LocalDateTime to = moment(ends[1], from.toLocalDate(), span);
      to = to.isBefore(from) && !ends[1].contains("T") ? to.plusDays(1) : to;
      // a span of whole minutes holds its last one
      to = to.getSecond() == 0 ? to.plusSeconds(59).plusNanos(999_999_999) : to;
      try {
        out.add(new MustHave(musts.get(i), from, to));
      } catch (IllegalArgumentException e) {
        throw usage("--must: " + e.getMessage());
      }
    }
    return out;
  }

  private LocalDateTime moment(String text, LocalDate date, String span) {
    try {
      return text.contains("T") ? LocalDateTime.parse(text) : date.atTime(LocalTime.parse(text));
    } catch (DateTimeParseException e) {
      throw usage(
          "--must must have times such as 15:40-15:55 or 2026-06-13T23:50-2026-06-14T00:10, was "
              + span);
    }
  }

  private static Answer answer(
      ShootWork work, Keeping keeping, ShootWork.Grouped grouped, Ratings.@Nullable Result rated) {
    List<Take> out = keeping.takes().stream().filter(t -> !t.keep()).toList();
    List<Take> eyes = keeping.takes().stream().filter(t -> !t.needsEyes().isEmpty()).toList();
    long framings = keeping.takes().stream().map(Take::framing).distinct().count();
    List<String> lines = new ArrayList<>();
    lines.add(
        Wording.count(keeping.takes().size(), "frame")
            + " in "
            + Wording.count((int) framings, "framing")
            + ": propose to keep "
            + (keeping.takes().size() - out.size())
            + ", to leave out "
            + out.size());
    for (Take t : out.subList(0, Math.min(MOST_SHOWN, out.size()))) {
      lines.add("  " + t.frame() + ": " + t.reason());
    }
    if (out.size() > MOST_SHOWN) {
      lines.add("  and " + (out.size() - MOST_SHOWN) + " more; --json lists them all");
    }
    if (!eyes.isEmpty()) {
      lines.add(Wording.count(eyes.size(), "frame") + " kept that need your eyes:");
      for (Take t : eyes.subList(0, Math.min(MOST_SHOWN, eyes.size()))) {
        lines.add("  " + t.frame() + ": " + t.needsEyes());
      }
      if (eyes.size() > MOST_SHOWN) {
        lines.add("  and " + (eyes.size() - MOST_SHOWN) + " more; --json lists them all");
      }
    }
    for (MustHave must : keeping.musts()) {
      lines.add("Asked for: " + Wording.asked(must));
    }
    if (rated != null) {
      lines.add(
          Wording.count(rated.marked(), "sidecar")
              + " marked with xmp:Rating -1, "
              + rated.cleared()
              + " earlier marks taken away");
      rated.left().forEach(l -> lines.add("  left alone: " + l));
    }
    lines.add(
        "Blinking and expressions are not judged. To keep one of these, rate it in your raw editor;"
            + " to keep all, `samelight keepers SHOOT --keep 0`.");
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("shoot", work.paths().root().toString());
    json.put("keep", keeping.keep());
    json.put("framings", framings);
    json.put("frames", keeping.takes().size());
    json.put("proposedOut", out.size());
    json.put("groups", grouped.summary().groups());
    json.put("takes", keeping.takes().stream().map(SummaryJson::take).toList());
    json.put("marked", rated == null ? 0 : rated.marked());
    json.put("cleared", rated == null ? 0 : rated.cleared());
    json.put("leftAlone", rated == null ? List.of() : rated.left());
    boolean attention = !eyes.isEmpty() || (rated != null && !rated.left().isEmpty());
    return new Answer(attention ? ExitStatus.ATTENTION : ExitStatus.DONE, lines, json);
  }
}
