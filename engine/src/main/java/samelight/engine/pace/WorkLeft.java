package samelight.engine.pace;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import samelight.engine.account.FrameStanding;
import samelight.engine.account.Standing;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.store.Plan;
import samelight.engine.timeline.Section;

/**
 * What is left to do: group by group in the order of the sections, first the reference to grade,
 * then the frames that need eyes, by framing, then the frames to look through, at most a hundred at
 * a time. A frame that has been exported is finished. Frames without a group, such as exposure
 * brackets, need eyes at the end of their section.
 */
public final class WorkLeft {
  /** Frames that are looked through in one go. */
  static final int MOST_IN_ONE_LOOK = 100;

  private final Standing standing;
  private final Map<String, String> framings;
  private final Map<Task, Rate> rates;
  private final Set<String> exported;
  private final Map<Task, Set<String>> done = new EnumMap<>(Task.class);

  private WorkLeft(
      Standing standing,
      Map<String, String> framings,
      Map<Task, Rate> rates,
      Set<String> exported,
      Collection<Done> sittings) {
    this.standing = standing;
    this.framings = framings;
    this.rates = rates;
    this.exported = exported;
    for (Task task : Task.values()) {
      done.put(task, new HashSet<>());
    }
    for (Done sitting : sittings) {
      sitting.items().forEach(i -> done(i.task()).addAll(i.frames()));
    }
  }

  /**
   * Finds it.
   *
   * @param plan sections and groups
   * @param standing how far each frame is
   * @param framings for each frame, a name that the frames of its framing share; a frame without
   *     one is alone
   * @param rates how long things take, for each kind of task
   * @param exported frames that have been exported
   * @param sittings what was done and can't be seen in the sidecars
   */
  public static List<Item> of(
      Plan plan,
      Standing standing,
      Map<String, String> framings,
      Map<Task, Rate> rates,
      Set<String> exported,
      Collection<Done> sittings) {
    WorkLeft work = new WorkLeft(standing, framings, rates, exported, sittings);
    Map<String, List<LightingGroup>> bySection = new LinkedHashMap<>();
    plan.sections().forEach(s -> bySection.put(s.id(), new ArrayList<>()));
    plan.groups()
        .forEach(g -> bySection.computeIfAbsent(g.section(), s -> new ArrayList<>()).add(g));
    Map<String, List<FrameStanding>> alone = new LinkedHashMap<>();
    for (FrameStanding f : standing.frames().values()) {
      if (!f.grouped()) {
        alone.computeIfAbsent(f.section(), s -> new ArrayList<>()).add(f);
      }
    }
    List<Item> items = new ArrayList<>();
    bySection.forEach(
        (section, groups) -> {
          groups.forEach(g -> work.group(section, g, items));
          work.rest(section, "", alone.getOrDefault(section, List.of()), items);
          alone.remove(section);
        });
    alone.forEach((section, frames) -> work.rest(section, "", frames, items));
    return items;
  }

  /** What each save means for {@link Learning}. */
  public static List<Learning.Save> saves(
      Collection<samelight.engine.sidecar.CarryHistory.Save> saves,
      Standing standing,
      Map<String, String> framings) {
    Map<String, Integer> places = new java.util.HashMap<>();
    standing.day().forEach(t -> places.put(t.frame().file(), t.index()));
    List<Learning.Save> out = new ArrayList<>();
    for (var save : saves) {
      FrameStanding f = standing.frames().get(save.frame());
      if (f != null) {
        Task task = f.reference() ? Task.REFERENCE : f.eyes().isEmpty() ? Task.LOOK : Task.EYES;
        String thing = task == Task.EYES ? framings.getOrDefault(f.frame(), f.frame()) : f.frame();
        out.add(
            new Learning.Save(
                task + " " + thing, task, places.getOrDefault(f.frame(), 0), save.at()));
      }
    }
    return out;
  }

  /** The names of a plan's sections by their ids. */
  public static Map<String, String> names(Plan plan) {
    Map<String, String> names = new LinkedHashMap<>();
    for (Section s : plan.sections()) {
      names.put(s.id(), s.name());
    }
    return names;
  }

  private void group(String section, LightingGroup group, List<Item> items) {
    List<FrameStanding> frames = new ArrayList<>();
    for (String file : group.frames()) {
      FrameStanding f = standing.frames().get(file);
      if (f != null) {
        frames.add(f);
      }
    }
    boolean wanted = frames.stream().anyMatch(f -> f.kept() && !exported.contains(f.frame()));
    FrameStanding reference = standing.frames().get(group.reference());
    if (wanted
        && reference != null
        && !reference.graded()
        && !done(Task.REFERENCE).contains(reference.frame())) {
      items.add(
          new Item(
              Task.REFERENCE,
              section,
              group.id(),
              List.of(reference.frame()),
              rate(Task.REFERENCE)));
    }
    rest(section, group.id(), frames, items);
  }

  /** Framings that need eyes, then what is to be looked through. */
  private void rest(String section, String group, List<FrameStanding> frames, List<Item> items) {
    Map<String, List<String>> eyes = new LinkedHashMap<>();
    List<String> look = new ArrayList<>();
    for (FrameStanding f : frames) {
      if (!f.kept() || exported.contains(f.frame())) {
        continue;
      }
      if (f.needsEyes() && !done(Task.EYES).contains(f.frame())) {
        eyes.computeIfAbsent(framings.getOrDefault(f.frame(), f.frame()), k -> new ArrayList<>())
            .add(f.frame());
      }
      if (!done(Task.LOOK).contains(f.frame())) {
        look.add(f.frame());
      }
    }
    eyes.values()
        .forEach(own -> items.add(new Item(Task.EYES, section, group, own, rate(Task.EYES))));
    for (int i = 0; i < look.size(); i += MOST_IN_ONE_LOOK) {
      List<String> own = look.subList(i, Math.min(look.size(), i + MOST_IN_ONE_LOOK));
      Duration time = rate(Task.LOOK).multipliedBy(own.size());
      items.add(new Item(Task.LOOK, section, group, own, time));
    }
  }

  private Set<String> done(Task task) {
    return Objects.requireNonNull(done.get(task));
  }

  private Duration rate(Task task) {
    Rate rate = rates.get(task);
    return rate == null ? task.firstGuess() : rate.time();
  }
}
