package samelight.engine.lighting;

import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.timeline.Section;

/** Makes the groups that follow from what was found and what the photographer decided. */
final class GroupBuilder {
  private final LightModel model;
  private final Map<String, Integer> index;
  private final Set<String> ineligible;
  private final Decisions decisions;
  private final List<Section> sections = new ArrayList<>();
  private final List<LightingGroup> groups = new ArrayList<>();

  GroupBuilder(
      LightModel model, Map<String, Integer> index, Set<String> ineligible, Decisions decisions) {
    this.model = model;
    this.index = index;
    this.ineligible = ineligible;
    this.decisions = decisions;
  }

  /** Sections and groups. */
  Grouping build(List<GroupDraft> found) {
    List<GroupDraft> covered = new ArrayList<>();
    found.forEach(d -> covered.add(d.copy()));
    decide(covered);
    leaveOut(covered); // last, so that a frame left out still says where to join, split and move
    for (GroupDraft d : covered) {
      d.frames.sort(null);
    }
    covered.removeIf(d -> d.frames.isEmpty());
    covered.sort(Comparator.comparingInt((GroupDraft d) -> d.frames.get(0)));
    name(covered);
    return new Grouping(sections, groups);
  }

  private String path(int f) {
    return model.frames.get(f).frame().file();
  }

  private void leaveOut(List<GroupDraft> drafts) {
    Set<Integer> out = new HashSet<>();
    for (String frame : decisions.leftOut()) {
      Integer f = index.get(frame);
      if (f != null) {
        out.add(f);
      }
    }
    if (!out.isEmpty()) {
      drafts.forEach(d -> d.frames.removeAll(out));
    }
  }

  private void move(List<GroupDraft> drafts) {
    for (Decisions.Move m : decisions.moves()) {
      Integer f = index.get(m.frame());
      GroupDraft from = draftOf(drafts, m.frame());
      if (f == null || from == null) {
        continue;
      }
      if (m.frame().equals(m.to())) {
        if (from.frames.size() > 1) {
          from.frames.remove(f);
          GroupDraft own = new GroupDraft(from.section, from.jpeg);
          own.frames.add(f);
          drafts.add(own);
        }
        continue;
      }
      GroupDraft to = draftOf(drafts, m.to());
      if (to != null && to != from && to.jpeg == from.jpeg) {
        from.frames.remove(f);
        to.frames.add(f);
      }
    }
  }

  private void decide(List<GroupDraft> drafts) {
    for (Decisions.Join j : decisions.joins()) {
      GroupDraft a = draftOf(drafts, j.first());
      GroupDraft b = draftOf(drafts, j.second());
      if (a != null && b != null && a != b && a.jpeg == b.jpeg) {
        a.frames.addAll(b.frames);
        b.frames.clear();
      }
    }
    for (String s : decisions.splits()) {
      GroupDraft d = draftOf(drafts, s);
      Integer at = index.get(s);
      if (d == null || at == null) {
        continue;
      }
      GroupDraft tail = new GroupDraft(d.section, d.jpeg);
      tail.frames.addAll(d.frames.stream().filter(f -> f >= at).toList());
      if (tail.frames.size() < d.frames.size()) {
        d.frames.removeIf(f -> f >= at);
        drafts.add(tail);
      }
    }
    move(drafts);
  }

  private @Nullable GroupDraft draftOf(List<GroupDraft> drafts, String frame) {
    Integer f = index.get(frame);
    if (f == null) {
      return null;
    }
    for (GroupDraft d : drafts) {
      if (d.frames.contains(f)) {
        return d;
      }
    }
    return null;
  }

  private void name(List<GroupDraft> drafts) {
    Map<Integer, List<GroupDraft>> bySection = new LinkedHashMap<>();
    for (GroupDraft d : drafts) {
      bySection.computeIfAbsent(d.section, s -> new ArrayList<>()).add(d);
    }
    Map<Integer, String> chosen = new HashMap<>();
    for (String r : decisions.references()) {
      Integer f = index.get(r);
      if (f != null) {
        chosen.put(f, r);
      }
    }
    Map<String, Integer> rank = new HashMap<>();
    for (int i = 0; i < decisions.references().size(); i++) {
      rank.put(decisions.references().get(i), i);
    }
    int n = 0;
    for (List<GroupDraft> own : bySection.values()) {
      String id = "s" + (sections.size() + 1);
      String name = "Section " + (sections.size() + 1);
      double from = Double.NaN;
      double to = Double.NaN;
      for (GroupDraft d : own) {
        for (int f : d.frames) {
          String given = decisions.sectionNames().get(path(f));
          name = given == null ? name : given;
          double t = model.frames.get(f).seconds();
          if (!Double.isNaN(t)) {
            from = Double.isNaN(from) ? t : Math.min(from, t);
            to = Double.isNaN(to) ? t : Math.max(to, t);
          }
        }
      }
      sections.add(new Section(id, name, time(from), time(to)));
      for (GroupDraft d : own) {
        String reference = null;
        int best = -1;
        for (int f : d.frames) {
          if (chosen.containsKey(f) && rank.getOrDefault(path(f), -1) > best) {
            reference = path(f);
            best = rank.getOrDefault(path(f), -1);
          }
        }
        if (reference == null) {
          reference = path(new ReferenceChoice(model, ineligible).propose(d.frames));
        }
        groups.add(
            new LightingGroup(
                "g" + ++n, id, reference, d.frames.stream().map(this::path).toList()));
      }
    }
  }

  private static @Nullable LocalDateTime time(double seconds) {
    return Double.isNaN(seconds)
        ? null
        : LocalDateTime.ofInstant(Instant.ofEpochMilli(Math.round(seconds * 1000)), ZoneOffset.UTC);
  }
}
