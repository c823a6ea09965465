package samelight.cli;

import java.nio.file.Path;
import java.time.Duration;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.pace.Done;
import samelight.engine.pace.Item;
import samelight.engine.pace.Learning;
import samelight.engine.pace.PaceFile;
import samelight.engine.pace.PacePlan;
import samelight.engine.pace.Rate;
import samelight.engine.pace.Sitting;
import samelight.engine.pace.Task;
import samelight.engine.pace.WorkCount;
import samelight.engine.store.JsonOut;

/** The answer of {@code pace} for a program. */
final class PaceJson {
  private PaceJson() {}

  static Map<String, @Nullable Object> of(
      PaceFile.Content content,
      LocalDate start,
      LocalDate due,
      List<Item> left,
      Map<Task, Rate> rates,
      List<Learning.Seen> seen,
      PacePlan plan,
      @Nullable Path ics) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("due", due.toString());
    json.put("dueStated", content.due() != null);
    json.put("start", start.toString());
    json.put("sittingMinutes", content.sitting().toMinutes());
    json.put("on", content.days().on().stream().sorted().map(JsonOut::word).toList());
    json.put("off", content.days().off().stream().map(LocalDate::toString).toList());
    json.put("at", content.at() == null ? null : content.at().toString());
    json.put("left", counts(left));
    json.put("minutesLeft", Spans.minutes(plan.time()));
    Map<String, @Nullable Object> times = new LinkedHashMap<>();
    rates.forEach(
        (task, rate) -> {
          Map<String, @Nullable Object> one = new LinkedHashMap<>();
          one.put("seconds", rate.time().toMillis() / 1000.0);
          one.put("learned", rate.learned());
          one.put("samples", rate.samples());
          times.put(JsonOut.word(task), one);
        });
    json.put("times", times);
    json.put("possibleDays", plan.days());
    json.put("feasible", plan.feasible());
    json.put("lateSittings", plan.late());
    json.put("lateMinutes", Spans.minutes(plan.lateTime()));
    json.put("tornGroups", plan.torn());
    json.put("help", help(plan.help()));
    List<Object> sittings = new ArrayList<>();
    for (Sitting s : plan.sittings()) {
      Map<String, @Nullable Object> one = sitting(s.number(), s.on(), s.items());
      one.put("minutes", Spans.minutes(s.time()));
      one.put("late", !s.on().isBefore(due));
      sittings.add(one);
    }
    json.put("sittings", sittings);
    List<Object> done = new ArrayList<>();
    for (Done d : content.done()) {
      done.add(sitting(d.number(), d.on(), d.items()));
    }
    json.put("done", done);
    List<Object> observed = new ArrayList<>();
    for (Learning.Seen s : seen) {
      Map<String, @Nullable Object> one = new LinkedHashMap<>();
      one.put("from", s.from().toString());
      one.put("to", s.to().toString());
      one.put("references", s.references());
      one.put("framings", s.framings());
      one.put("frames", s.frames());
      observed.add(one);
    }
    json.put("seen", observed);
    json.put("ics", ics == null ? null : ics.toString());
    return json;
  }

  private static @Nullable Object help(PacePlan.@Nullable Help help) {
    if (help == null) {
      return null;
    }
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    Duration sitting = help.sitting();
    json.put("sittingMinutes", sitting == null ? null : sitting.toMinutes());
    json.put("moreDays", help.days());
    json.put("due", help.due().toString());
    return json;
  }

  private static Map<String, @Nullable Object> counts(List<Item> items) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    WorkCount count = WorkCount.of(items);
    json.put("references", count.references());
    json.put("framingsThatNeedEyes", count.framings());
    json.put("framesThatNeedEyes", count.eyes());
    json.put("framesToLookThrough", count.look());
    return json;
  }

  private static Map<String, @Nullable Object> sitting(int number, LocalDate on, List<Item> items) {
    Map<String, @Nullable Object> json = new LinkedHashMap<>();
    json.put("number", number);
    json.put("on", on.toString());
    List<Object> all = new ArrayList<>();
    for (Item i : items) {
      Map<String, @Nullable Object> one = new LinkedHashMap<>();
      one.put("task", JsonOut.word(i.task()));
      one.put("section", i.section());
      one.put("group", i.group());
      one.put("seconds", i.time().toMillis() / 1000.0);
      one.put("frames", i.frames());
      all.add(one);
    }
    json.put("items", all);
    return json;
  }
}
