package samelight.cli;

import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.DayOfWeek;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import samelight.engine.account.FrameStanding;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootLock;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.Frame;
import samelight.engine.lighting.Framings;
import samelight.engine.pace.Days;
import samelight.engine.pace.Done;
import samelight.engine.pace.Item;
import samelight.engine.pace.Learning;
import samelight.engine.pace.PaceCalendar;
import samelight.engine.pace.PaceFile;
import samelight.engine.pace.PacePlan;
import samelight.engine.pace.PaceRequest;
import samelight.engine.pace.Planner;
import samelight.engine.pace.Rate;
import samelight.engine.pace.Sitting;
import samelight.engine.pace.Task;
import samelight.engine.pace.WorkLeft;
import samelight.engine.pace.WorkWords;
import samelight.engine.store.ComparedPictures;
import samelight.engine.store.PlanFile;
import samelight.engine.timeline.BodyClocks;
import samelight.engine.timeline.TimedFrame;
import samelight.engine.timeline.Timeline;

/** Plans short editing sittings up to the due date. */
@Command(
    name = "pace",
    description = {
      "Plan what is left to edit as short sittings up to the due date: references to grade, frames"
          + " that need eyes, frames to look through; section by section, a group in one sitting.",
      "What you ask for is remembered. Run it again any time: what is done stays done, the rest is"
          + " planned anew."
    },
    footerHeading = "%nExample:%n",
    footer =
        "  samelight pace 2026-06-13-garden --due 2026-07-13 --sitting 45m --on mon,tue,thu \\\n"
            + "      --off 2026-06-22 --at 20:00 --ics sittings.ics")
final class PaceCommand extends ShootCommand {
  private static final int MOST_SHOWN = 20;

  /** Saves over so long on one day are a sitting that was done on it. */
  private static final Duration A_SITTING = Duration.ofMinutes(20);

  @Parameters(paramLabel = "SHOOT", description = "A shoot that has been grouped.")
  @Nullable Path shoot;

  @Option(
      names = "--due",
      paramLabel = "DATE",
      description = "When the gallery is due; at first 30 days after the shoot. Remembered.")
  @Nullable String due;

  @Option(
      names = "--sitting",
      paramLabel = "TIME",
      description = "Longest sitting, such as 45m or 1h; at first 45m. Remembered.")
  @Nullable String sitting;

  @Option(
      names = "--on",
      paramLabel = "DAY",
      split = ",",
      description = "Days of the week, such as mon,tue,thu; at first all. Remembered.")
  List<String> on = new ArrayList<>();

  @Option(
      names = "--off",
      paramLabel = "DATE",
      arity = "1..*",
      description = "Days off, added to those that you gave before.")
  List<String> off = new ArrayList<>();

  @Option(names = "--forget-off", description = "Forget the days off that you gave before.")
  boolean forgetOff;

  @Option(
      names = "--at",
      paramLabel = "HH:MM",
      description = "When a sitting begins, for the calendar; else it has no time. Remembered.")
  @Nullable String at;

  @Option(
      names = "--done",
      paramLabel = "NUMBER",
      arity = "1..*",
      description =
          "You did these sittings of the last plan; needed for what leaves no trace in a sidecar,"
              + " such as looking through.")
  List<Integer> done = new ArrayList<>();

  @Option(
      names = "--start",
      paramLabel = "DATE",
      description = "First day to plan for; at first today.")
  @Nullable String start;

  @Option(
      names = "--from",
      paramLabel = "EXPORTS",
      description =
          "The folder of exported JPEGs, at first that of the last delivery: what has been exported"
              + " is finished.")
  @Nullable Path exports;

  @Option(
      names = "--ics",
      paramLabel = "FILE",
      description =
          "Write the sittings as a calendar (iCalendar, RFC 5545). A file of another program or"
              + " shoot is never written over.")
  @Nullable Path ics;

  /** All that was worked out. */
  private record Outcome(
      ShootView view,
      PaceFile.Content content,
      LocalDate from,
      LocalDate due,
      @Nullable LocalDate shootDay,
      List<Item> left,
      Map<Task, Rate> rates,
      List<Learning.Seen> seen,
      PacePlan plan) {}

  @Override
  Answer answer() {
    ShootPaths paths = ShootPaths.of(Objects.requireNonNull(shoot));
    if (!PlanFile.exists(paths)) {
      throw new RefusedInputException(
          paths.root().toString(),
          "must be a shoot that has been grouped",
          "no " + PlanFile.NAME,
          "Run `samelight group SHOOT` first");
    }
    try (ShootLock lock = ShootLock.take(paths)) {
      lock.takenOver().ifPresent(who -> note("took over the lock of an ended command: " + who));
      Outcome outcome = plan(paths);
      PaceFile.Content content = outcome.content();
      Path calendar = ics;
      if (calendar != null) {
        PaceCalendar.refuseForeign(calendar.toAbsolutePath(), content.id());
      }
      PaceFile.write(paths, content);
      if (calendar != null) {
        PaceCalendar.write(
            calendar.toAbsolutePath(),
            PaceCalendar.text(
                content,
                paths.name(),
                outcome.due(),
                WorkLeft.names(outcome.view().plan()),
                Instant.now()),
            content.id());
      }
      boolean attention = !outcome.plan().feasible();
      return new Answer(
          attention ? ExitStatus.ATTENTION : ExitStatus.DONE, lines(outcome), json(outcome));
    }
  }

  private Outcome plan(ShootPaths paths) {
    PaceFile.Content before =
        PaceFile.exists(paths) ? PaceFile.read(paths) : PaceFile.Content.first();
    PaceFile.Content asked = asked(before);
    ShootView view = ShootView.of(paths, true);
    if (view.history().interrupted()) {
      note("a carry was interrupted here; the next command that writes sidecars puts it right");
    }
    Map<String, String> framings = framings(view);
    List<Learning.Save> saves = WorkLeft.saves(view.history().saves(), view.standing(), framings);
    Map<Task, Rate> rates = Learning.rates(saves);
    List<Learning.Seen> seen = Learning.seen(saves);
    Set<String> exported = new HashSet<>();
    JobBooks books = JobBooks.of(paths, view.reading().frames(), exports);
    exported.addAll(books.exported());
    exported.addAll(books.delivered());
    List<Item> left =
        WorkLeft.of(view.plan(), view.standing(), framings, rates, exported, asked.done());
    LocalDate shootDay = shootDay(view);
    LocalDate first = first(asked, seen, shootDay);
    LocalDate stated = asked.due();
    LocalDate day = shootDay == null ? first : shootDay;
    LocalDate until = stated == null ? day.plusDays(DueDate.DAYS) : stated;
    int highest = asked.done().stream().mapToInt(Done::number).max().orElse(0);
    PacePlan plan;
    try {
      plan =
          Planner.plan(new PaceRequest(left, first, until, asked.sitting(), asked.days(), highest));
    } catch (IllegalArgumentException e) {
      throw usage("--due, --sitting: " + e.getMessage());
    }
    int listed =
        ics == null ? asked.listed() : Math.max(asked.listed(), highest + plan.sittings().size());
    PaceFile.Content content =
        new PaceFile.Content(
            asked.id(),
            asked.revision() + 1,
            stated,
            asked.sitting(),
            asked.days(),
            asked.at(),
            asked.done(),
            plan.sittings(),
            listed);
    return new Outcome(view, content, first, until, shootDay, left, rates, seen, plan);
  }

  /** What was kept, with what is asked now. */
  private PaceFile.Content asked(PaceFile.Content before) {
    LocalDate newDue = due == null ? before.due() : date("--due", due);
    Duration longest = before.sitting();
    if (sitting != null) {
      longest = Spans.parse(sitting);
      if (longest == null || longest.isZero() || longest.compareTo(Duration.ofDays(1)) > 0) {
        throw usage("--sitting must be a time such as 45m or 1h15m, up to 24h; was " + sitting);
      }
    }
    Set<DayOfWeek> weekdays = on.isEmpty() ? before.days().on() : weekdays();
    TreeSet<LocalDate> free = new TreeSet<>(forgetOff ? List.of() : before.days().off());
    off.forEach(d -> free.add(date("--off", d)));
    LocalTime begin = before.at();
    if (at != null) {
      try {
        begin = LocalTime.parse(at);
      } catch (DateTimeException e) {
        throw usage("--at must be a time of day such as 20:00, was " + at);
      }
      if (begin.getSecond() != 0 || begin.getNano() != 0) {
        throw usage("--at must be a time of day in whole minutes, was " + at);
      }
    }
    List<Done> all = new ArrayList<>(before.done());
    for (int number : new TreeSet<>(done)) {
      if (all.stream().anyMatch(d -> d.number() == number)) {
        note("sitting " + number + " was done before");
        continue;
      }
      Sitting planned =
          before.planned().stream()
              .filter(s -> s.number() == number)
              .findFirst()
              .orElseThrow(
                  () ->
                      usage(
                          "--done must be the number of a sitting of the last plan"
                              + numbers(before.planned())
                              + ", was "
                              + number));
      all.add(new Done(number, today(), planned.items()));
    }
    return new PaceFile.Content(
        before.id(),
        before.revision(),
        newDue,
        longest,
        new Days(weekdays, free),
        begin,
        all,
        before.planned(),
        before.listed());
  }

  private static String numbers(List<Sitting> planned) {
    return planned.isEmpty()
        ? " (it has none)"
        : " (" + planned.get(0).number() + " to " + planned.get(planned.size() - 1).number() + ")";
  }

  private Set<DayOfWeek> weekdays() {
    Set<DayOfWeek> days = EnumSet.noneOf(DayOfWeek.class);
    for (String text : on) {
      String asked = text.strip().toUpperCase(Locale.ROOT);
      boolean known = false;
      for (DayOfWeek day : DayOfWeek.values()) {
        if (asked.length() >= 3 && day.name().startsWith(asked)) {
          days.add(day);
          known = true;
        }
      }
      if (!known) {
        throw usage("--on must be days of the week such as mon,tue,thu; was " + text);
      }
    }
    return days;
  }

  private LocalDate date(String option, String text) {
    try {
      LocalDate date = LocalDate.parse(text);
      if (date.getYear() >= 1900 && date.getYear() <= 9999) {
        return date;
      }
    } catch (DateTimeException e) {
      // said below
    }
    throw usage(option + " must be a date such as 2026-07-13, was " + text);
  }

  private static LocalDate today() {
    return LocalDate.now(ZoneId.systemDefault());
  }

  /** The shoot's last day by its own time, or null where no frame has a time. */
  private static @Nullable LocalDate shootDay(ShootView view) {
    return DueDate.shootDay(view.plan());
  }

  /** The first day that there may be a sitting. */
  private LocalDate first(
      PaceFile.Content content, List<Learning.Seen> seen, @Nullable LocalDate shootDay) {
    if (start != null) {
      return date("--start", start);
    }
    LocalDate today = today();
    if (shootDay != null && !shootDay.isBefore(today)) {
      if (shootDay.isAfter(today)) {
        note(
            "by the bodies' clocks the shoot is on " + shootDay + ", after today: are they right?");
      }
      return shootDay.plusDays(1);
    }
    boolean satToday = content.done().stream().anyMatch(d -> d.on().equals(today));
    for (Learning.Seen s : seen) {
      satToday |=
          LocalDate.ofInstant(s.to(), ZoneId.systemDefault()).equals(today)
              && Duration.between(s.from(), s.to()).compareTo(A_SITTING) >= 0;
    }
    return satToday ? today.plusDays(1) : today;
  }

  /**
   * A name for the framing of each frame that needs eyes: as the keepers found it, else found now
   * among these frames alone, which is quicker than among all.
   */
  private static Map<String, String> framings(ShootView view) {
    Map<String, String> framings = new HashMap<>();
    view.plan().decisions().keepers().takes().forEach(t -> framings.put(t.frame(), t.framing()));
    List<Frame> doubted = new ArrayList<>();
    for (TimedFrame timed : view.standing().day()) {
      FrameStanding standing = view.standing().frames().get(timed.frame().file());
      if (standing != null && !standing.eyes().isEmpty()) {
        doubted.add(timed.frame());
      }
    }
    if (!doubted.stream().allMatch(f -> framings.containsKey(f.file()))) {
      framings.clear();
      Map<String, Double> clocks = BodyClocks.offsets(view.plan().bodies());
      for (List<String> framing :
          Framings.find(
                  Timeline.of(doubted, clocks, new ArrayList<>()),
                  ComparedPictures.open(view.paths()))
              .alike()) {
        framing.forEach(f -> framings.put(f, framing.get(0)));
      }
    }
    return framings;
  }

  private List<String> lines(Outcome o) {
    List<String> lines = new ArrayList<>();
    PaceFile.Content content = o.content();
    lines.add(
        "Due "
            + Spans.day(o.due())
            + (content.due() == null
                ? " (" + DueDate.DAYS + " days after the shoot, common practice; --due changes it)"
                : "")
            + ", "
            + DueDate.away(today(), o.due())
            + ".");
    for (Done d : content.done()) {
      lines.add("Done: sitting " + d.number() + ", " + Spans.day(d.on()) + ": " + said(d.items()));
    }
    for (Learning.Seen s : o.seen()) {
      lines.add("Seen in the sidecars: " + seen(s));
    }
    if (o.left().isEmpty()) {
      lines.add("Nothing is left to edit.");
      lines.add("Next: export, then deliver.");
      return lines;
    }
    lines.add("Left: " + said(o.left()) + "; " + Spans.words(o.plan().time()) + " in all.");
    lines.add("Time of one: " + rates(o.rates()));
    lines.add("");
    List<Sitting> sittings = o.plan().sittings();
    lines.add(
        String.format(
            Locale.ROOT,
            "%d sitting%s of up to %s; %d day%s possible from %s to the day before the due date:",
            sittings.size(),
            sittings.size() == 1 ? "" : "s",
            Spans.words(content.sitting()),
            o.plan().days(),
            o.plan().days() == 1 ? " is" : "s are",
            o.from()));
    Map<String, String> names = WorkLeft.names(o.view().plan());
    for (Sitting s : sittings.subList(0, Math.min(MOST_SHOWN, sittings.size()))) {
      show(s, o, names, lines);
    }
    if (sittings.size() > MOST_SHOWN) {
      lines.add("  and " + (sittings.size() - MOST_SHOWN) + " more; --json lists them all");
    }
    lines.add("");
    tooLate(o, lines);
    advice(o, lines);
    if (ics != null) {
      lines.add("Calendar written: " + ics + ". It has the names of the shoot and its sections.");
    }
    lines.add(next(o));
    return lines;
  }

  /** A sitting in a line, and a line for each of its sections. */
  private static void show(Sitting s, Outcome o, Map<String, String> names, List<String> lines) {
    lines.add(
        String.format(
            Locale.ROOT,
            "  %3d  %s  %s%s",
            s.number(),
            Spans.day(s.on()),
            Spans.words(s.time()),
            s.on().isBefore(o.due()) ? "" : "  TOO LATE"));
    List<Item> own = new ArrayList<>();
    for (int i = 0; i < s.items().size(); i++) {
      Item item = s.items().get(i);
      own.add(item);
      boolean last = i + 1 == s.items().size();
      if (last || !s.items().get(i + 1).section().equals(item.section())) {
        String name = names.getOrDefault(item.section(), "no section");
        lines.add("       " + name + ": " + said(own));
        own.clear();
      }
    }
  }

  private static String said(Collection<Item> items) {
    return WorkWords.of(List.copyOf(items));
  }

  private static String seen(Learning.Seen s) {
    ZoneId zone = ZoneId.systemDefault();
    LocalDateTime begin = LocalDateTime.ofInstant(s.from(), zone);
    LocalDateTime end = LocalDateTime.ofInstant(s.to(), zone);
    return String.format(
        Locale.ROOT,
        "%s %tR to %tR, %d references, %d framings that need eyes, %d other frames saved",
        Spans.day(begin.toLocalDate()),
        begin,
        end,
        s.references(),
        s.framings(),
        s.frames());
  }

  private static String rates(Map<Task, Rate> rates) {
    List<String> parts = new ArrayList<>();
    for (Task task : Task.values()) {
      Rate rate = Objects.requireNonNull(rates.get(task));
      String what =
          switch (task) {
            case REFERENCE -> "a reference";
            case EYES -> "a framing that needs eyes";
            case LOOK -> "a frame looked through";
          };
      parts.add(
          what
              + " "
              + Spans.words(rate.time())
              + (rate.learned()
                  ? " (median of " + rate.samples() + " in this shoot)"
                  : " (a first guess; " + rate.samples() + " of " + Learning.ENOUGH + " known)"));
    }
    return String.join(", ", parts) + ".";
  }

  private static void tooLate(Outcome o, List<String> lines) {
    PacePlan.Help help = o.plan().help();
    if (help == null) {
      lines.add(
          "Feasible. "
              + o.due()
              + " itself is kept for export and delivery."
              + (o.plan().torn() == 0
                  ? ""
                  : " " + o.plan().torn() + " times a group goes on in the next sitting."));
      return;
    }
    lines.add(
        "NOT feasible: "
            + o.plan().late()
            + (o.plan().late() == 1 ? " sitting" : " sittings")
            + " ("
            + Spans.words(o.plan().lateTime())
            + ") come too late. Each of these would help:");
    Duration longer = help.sitting();
    if (longer != null) {
      boolean advised = longer.compareTo(Planner.LONGEST_ADVISED) <= 0;
      lines.add(
          "  --sitting "
              + longer.toMinutes()
              + "m"
              + (advised ? "" : ", which is longer than recommended: better two on one day"));
    }
    lines.add(
        "  "
            + help.days()
            + (help.days() == 1 ? " more day" : " more days")
            + " for sittings: other weekdays with --on, fewer days off");
    lines.add("  --due " + help.due() + ", agreed with the couple");
    lines.add("  fewer frames: `samelight keepers SHOOT --keep 1`, or leave some out");
  }

  private static void advice(Outcome o, List<String> lines) {
    Duration asked = o.content().sitting();
    boolean shorter = asked.compareTo(Planner.SHORTEST_ADVISED) < 0;
    boolean longer = asked.compareTo(Planner.LONGEST_ADVISED) > 0;
    lines.add(
        (shorter || longer
                ? Spans.words(asked) + " is " + (shorter ? "shorter" : "longer") + " than advised. "
                : "")
            + "Sittings of 30 to 60 minutes are advised: eyes get used to a cast and tire, a break"
            + " after an hour at the screen mends that, and below half an hour much of it goes into"
            + " beginning.");
  }

  private String next(Outcome o) {
    Sitting next = o.plan().sittings().get(0);
    return "Next: sitting "
        + next.number()
        + ", "
        + Spans.day(next.on())
        + ". Group by group: grade the reference, carry it, look at the frames that need eyes, then"
        + " through the others. Then `samelight pace "
        + Paste.word(Objects.requireNonNull(shoot))
        + " --done "
        + next.number()
        + "`";
  }

  private Map<String, @Nullable Object> json(Outcome o) {
    return PaceJson.of(
        o.content(), o.from(), o.due(), o.left(), o.rates(), o.seen(), o.plan(), ics);
  }
}
