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
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.timeline.Section;

/**
 * Makes groups: the fewest that keep every frame within tolerance of its reference after
 * compensation. A place within a section is one group if one of its framings knows all others well
 * enough; what it doesn't know well, and where faces have another share of the light, forms a group
 * around the framing that knows most of the rest. A framing that shares nothing with any other
 * joins its neighbour in time if light and colour are alike, and then needs eyes.
 */
final class GroupBuilder {
  /**
   * A difference known to this, one standard deviation in stops, keeps to 1/6 stop by two sigma.
   */
  private static final double KNOWN = 1.0 / 12;

  /** Unlinked framings with more frames than this get a group and a reference of their own. */
  private static final int FEW = 6;

  /** Unlinked framings farther apart than this in time aren't joined, in seconds. */
  private static final double NEAR = 1200;

  private static final double LIKE_LIGHT = 0.8;
  private static final double LIKE_COLOUR = 0.4;
  private static final double LIKE_SETTINGS = 1.5;

  private final LightModel model;
  private final Map<String, Integer> index;
  private final Set<String> apart;
  private final Set<String> ineligible;
  private final Decisions decisions;
  private final List<Section> sections = new ArrayList<>();
  private final List<LightingGroup> groups = new ArrayList<>();

  private record Key(int section, int place, boolean jpeg) {}

  /** A group in the making: framings with the members that are in it. */
  private static final class Draft {
    final int section;
    final boolean jpeg;
    final List<Integer> frames = new ArrayList<>();

    Draft(int section, boolean jpeg) {
      this.section = section;
      this.jpeg = jpeg;
    }

    Draft copy() {
      Draft d = new Draft(section, jpeg);
      d.frames.addAll(frames);
      return d;
    }
  }

  /** What is found without any decision: drafts that are copied before they are changed. */
  static final class Found {
    private final List<Draft> drafts;

    private Found(List<Draft> drafts) {
      this.drafts = drafts;
    }
  }

  GroupBuilder(
      LightModel model,
      Map<String, Integer> index,
      Set<String> apart,
      Set<String> ineligible,
      Decisions decisions) {
    this.model = model;
    this.index = index;
    this.apart = apart;
    this.ineligible = ineligible;
    this.decisions = decisions;
  }

  List<Section> sections() {
    return sections;
  }

  List<LightingGroup> groups() {
    return groups;
  }

  /** Finds groups as if nothing had been decided; no decision is looked at. */
  Found find() {
    int[] section = new SectionFinder(model).find();
    Map<Key, Draft> units = new LinkedHashMap<>();
    for (int number = 0; number < section.length; number++) {
      int k = number;
      for (int f : model.framings.get(k).members()) {
        if (apart.contains(path(f))) {
          continue;
        }
        boolean jpeg = model.frames.get(f).frame().jpeg();
        units
            .computeIfAbsent(
                new Key(section[k], model.place[k], jpeg), x -> new Draft(section[k], jpeg))
            .frames
            .add(f);
      }
    }
    List<Draft> drafts = new ArrayList<>();
    List<Draft> lonely = new ArrayList<>();
    for (Draft d : units.values()) {
      (framingsOf(d).size() == 1 && d.frames.size() <= FEW ? lonely : drafts).add(d);
    }
    List<Draft> covered = new ArrayList<>();
    for (Draft d : drafts) {
      covered.addAll(cover(d));
    }
    attach(lonely, covered);
    return new Found(covered);
  }

  /** Makes the groups that follow from what was found and what was decided. */
  void build(Found found) {
    List<Draft> covered = new ArrayList<>();
    found.drafts.forEach(d -> covered.add(d.copy()));
    decide(covered);
    leaveOut(covered); // last, so that a frame left out still says where to join, split and move
    for (Draft d : covered) {
      d.frames.sort(null);
    }
    covered.removeIf(d -> d.frames.isEmpty());
    covered.sort(Comparator.comparingInt((Draft d) -> d.frames.get(0)));
    name(covered);
  }

  private String path(int f) {
    return model.frames.get(f).frame().file();
  }

  private List<Integer> framingsOf(Draft d) {
    return d.frames.stream().map(f -> model.framingOf[f]).distinct().toList();
  }

  /** Splits a unit into groups whose references know their frames well enough. */
  private List<Draft> cover(Draft unit) {
    List<Draft> out = new ArrayList<>();
    Map<Integer, List<Integer>> byFraming = new TreeMap<>();
    for (int f : unit.frames) {
      byFraming.computeIfAbsent(model.framingOf[f], k -> new ArrayList<>()).add(f);
    }
    List<Integer> left = new ArrayList<>(byFraming.keySet());
    while (!left.isEmpty()) {
      int best = left.get(0);
      int bestFrames = -1;
      double bestSum = Double.MAX_VALUE;
      for (int k : left) {
        int frames = 0;
        double sum = 0;
        for (int m : left) {
          double s = k == m ? 0 : sigma(k, m);
          if (s <= KNOWN && !model.facesDiffer(k, m)) {
            frames += byFraming.getOrDefault(m, List.of()).size();
            sum += s * byFraming.getOrDefault(m, List.of()).size();
          }
        }
        if (frames > bestFrames || (frames == bestFrames && sum < bestSum - 1e-9)) {
          best = k;
          bestFrames = frames;
          bestSum = sum;
        }
      }
      int reference = best;
      Draft d = new Draft(unit.section, unit.jpeg);
      List<Integer> rest = new ArrayList<>();
      for (int m : left) {
        if (m == reference || (sigma(reference, m) <= KNOWN && !model.facesDiffer(reference, m))) {
          d.frames.addAll(byFraming.getOrDefault(m, List.of()));
        } else {
          rest.add(m);
        }
      }
      out.add(d);
      left = rest;
    }
    return out;
  }

  private double sigma(int k, int m) {
    return model.sigma(model.framings.get(k).base(), model.framings.get(m).base());
  }

  private void attach(List<Draft> lonely, List<Draft> drafts) {
    Map<Integer, List<Draft>> bySection = new HashMap<>();
    for (Draft d : drafts) {
      bySection.computeIfAbsent(d.section, s -> new ArrayList<>()).add(d);
    }
    for (Draft d : lonely) {
      List<Draft> hosts = bySection.computeIfAbsent(d.section, s -> new ArrayList<>());
      Draft host = hostFor(d, hosts);
      if (host == null) {
        hosts.add(d);
        drafts.add(d);
      } else {
        host.frames.addAll(d.frames);
      }
    }
  }

  private @Nullable Draft hostFor(Draft d, List<Draft> hosts) {
    int f = d.frames.get(0);
    Draft best = null;
    double nearest = NEAR;
    // hosts are near in time only if they are near in the list: look at the latest ones
    for (int i = hosts.size() - 1; i >= 0 && i >= hosts.size() - 40; i--) {
      Draft h = hosts.get(i);
      if (h.jpeg != d.jpeg) {
        continue;
      }
      int g = nearestFrame(h, f);
      double gap = Math.abs(model.frames.get(f).seconds() - model.frames.get(g).seconds());
      if (!model.body(model.framingOf[f]).equals(model.body(model.framingOf[g]))) {
        gap = gap * 2 + 60;
      }
      if ((gap < nearest || (Double.isNaN(gap) && best == null)) && alike(f, g)) {
        nearest = Double.isNaN(gap) ? nearest : gap;
        best = h;
      }
    }
    return best;
  }

  private int nearestFrame(Draft h, int f) {
    int best = h.frames.get(0);
    for (int g : h.frames) {
      if (Math.abs(g - f) < Math.abs(best - f)) {
        best = g;
      }
    }
    return best;
  }

  /** Whether two unlinked frames may have been made in one light. */
  private boolean alike(int f, int g) {
    var a = model.frames.get(f).frame();
    var b = model.frames.get(g).frame();
    if (a.flashFired() != b.flashFired()
        || a.whiteBalance().lightSource() != b.whiteBalance().lightSource()
        || a.whiteBalance().setting() != b.whiteBalance().setting()) {
      return false;
    }
    int k = model.framingOf[f];
    int m = model.framingOf[g];
    double light = model.impliedLight(k) - model.impliedLight(m);
    if (Double.isNaN(light)) {
      double settings = model.frames.get(f).ev() - model.frames.get(g).ev();
      return !(Math.abs(settings) > LIKE_SETTINGS);
    }
    return Math.abs(light) <= LIKE_LIGHT && model.colourDistance(f, g) <= LIKE_COLOUR;
  }

  private void leaveOut(List<Draft> drafts) {
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

  private void move(List<Draft> drafts) {
    for (Decisions.Move m : decisions.moves()) {
      Integer f = index.get(m.frame());
      Draft from = draftOf(drafts, m.frame());
      if (f == null || from == null) {
        continue;
      }
      if (m.frame().equals(m.to())) {
        if (from.frames.size() > 1) {
          from.frames.remove(f);
          Draft own = new Draft(from.section, from.jpeg);
          own.frames.add(f);
          drafts.add(own);
        }
        continue;
      }
      Draft to = draftOf(drafts, m.to());
      if (to != null && to != from && to.jpeg == from.jpeg) {
        from.frames.remove(f);
        to.frames.add(f);
      }
    }
  }

  private void decide(List<Draft> drafts) {
    for (Decisions.Join j : decisions.joins()) {
      Draft a = draftOf(drafts, j.first());
      Draft b = draftOf(drafts, j.second());
      if (a != null && b != null && a != b && a.jpeg == b.jpeg) {
        a.frames.addAll(b.frames);
        b.frames.clear();
      }
    }
    for (String s : decisions.splits()) {
      Draft d = draftOf(drafts, s);
      Integer at = index.get(s);
      if (d == null || at == null) {
        continue;
      }
      Draft tail = new Draft(d.section, d.jpeg);
      tail.frames.addAll(d.frames.stream().filter(f -> f >= at).toList());
      if (tail.frames.size() < d.frames.size()) {
        d.frames.removeIf(f -> f >= at);
        drafts.add(tail);
      }
    }
    move(drafts);
  }

  private @Nullable Draft draftOf(List<Draft> drafts, String frame) {
    Integer f = index.get(frame);
    if (f == null) {
      return null;
    }
    for (Draft d : drafts) {
      if (d.frames.contains(f)) {
        return d;
      }
    }
    return null;
  }

  private void name(List<Draft> drafts) {
    Map<Integer, List<Draft>> bySection = new LinkedHashMap<>();
    for (Draft d : drafts) {
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
    for (List<Draft> own : bySection.values()) {
      String id = "s" + (sections.size() + 1);
      String name = "Section " + (sections.size() + 1);
      double from = Double.NaN;
      double to = Double.NaN;
      for (Draft d : own) {
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
      for (Draft d : own) {
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
