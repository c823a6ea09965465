package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Finds groups as if nothing had been decided: the fewest that keep every frame within tolerance of
 * its reference after compensation. A place within a section is one group if one of its framings
 * knows all others well enough; what it doesn't know well, and where faces have another share of
 * the light, forms a group around the framing that knows most of the rest. A framing that shares
 * nothing with any other joins its neighbour in time if light and colour are alike, and then needs
 * eyes.
 */
final class GroupFinder {
  /**
   * A difference known to this, one standard deviation in stops, keeps to 1/6 stop by two sigma.
   */
  private static final double KNOWN = 1.0 / 12;

  /** Unlinked framings with more frames than this get a group and a reference of their own. */
  private static final int FEW = 6;

  /** Unlinked framings farther apart than this in time aren't joined, in seconds. */
  private static final double NEAR = 1200;

  /**
   * Colours of light farther apart than this, in stops of red and blue over green, are two lights,
   * however well their difference is known: some 75 mired, about half of a full conversion filter
   * (common practice, no source).
   */
  private static final double OTHER_COLOUR = 0.8;

  private static final double LIKE_LIGHT = 0.8;
  private static final double LIKE_COLOUR = 0.4;
  private static final double LIKE_SETTINGS = 1.5;

  private final LightModel model;
  private final int[] section;
  private final Set<String> apart;

  private record Key(int section, int place, boolean jpeg, boolean flash) {}

  GroupFinder(LightModel model, int[] section, Set<String> apart) {
    this.model = model;
    this.section = section;
    this.apart = apart;
  }

  /** The groups, to be copied before they are changed. */
  List<GroupDraft> find() {
    Map<Key, GroupDraft> units = new LinkedHashMap<>();
    for (int number = 0; number < section.length; number++) {
      int k = number;
      for (int f : model.framings.get(k).members()) {
        if (apart.contains(path(f))) {
          continue;
        }
        boolean jpeg = model.frames.get(f).frame().jpeg();
        units
            .computeIfAbsent(
                new Key(section[k], model.place[k], jpeg, model.flash(f)),
                x -> new GroupDraft(section[k], jpeg))
            .frames
            .add(f);
      }
    }
    List<GroupDraft> drafts = new ArrayList<>();
    List<GroupDraft> lonely = new ArrayList<>();
    for (GroupDraft d : units.values()) {
      (framingsOf(d).size() == 1 && d.frames.size() <= FEW ? lonely : drafts).add(d);
    }
    List<GroupDraft> covered = new ArrayList<>();
    for (GroupDraft d : drafts) {
      covered.addAll(cover(d));
    }
    attach(lonely, covered);
    return covered;
  }

  private String path(int f) {
    return model.frames.get(f).frame().file();
  }

  private List<Integer> framingsOf(GroupDraft d) {
    return d.frames.stream().map(f -> model.framingOf[f]).distinct().toList();
  }

  /** Splits a unit into groups whose references know their frames well enough. */
  private List<GroupDraft> cover(GroupDraft unit) {
    List<GroupDraft> out = new ArrayList<>();
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
          if (s <= KNOWN && oneLight(k, m)) {
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
      GroupDraft d = new GroupDraft(unit.section, unit.jpeg);
      List<Integer> rest = new ArrayList<>();
      for (int m : left) {
        if (m == reference || (sigma(reference, m) <= KNOWN && oneLight(reference, m))) {
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

  /** Whether people have the same share of the light in both, and it has one colour. */
  private boolean oneLight(int k, int m) {
    return !model.facesDiffer(k, m)
        && !(model.colourDistance(model.framings.get(k).base(), model.framings.get(m).base())
            > OTHER_COLOUR);
  }

  private double sigma(int k, int m) {
    return model.sigma(model.framings.get(k).base(), model.framings.get(m).base());
  }

  private void attach(List<GroupDraft> lonely, List<GroupDraft> drafts) {
    Map<Integer, List<GroupDraft>> bySection = new HashMap<>();
    for (GroupDraft d : drafts) {
      bySection.computeIfAbsent(d.section, s -> new ArrayList<>()).add(d);
    }
    for (GroupDraft d : lonely) {
      List<GroupDraft> hosts = bySection.computeIfAbsent(d.section, s -> new ArrayList<>());
      GroupDraft host = hostFor(d, hosts);
      if (host == null) {
        hosts.add(d);
        drafts.add(d);
      } else {
        host.frames.addAll(d.frames);
      }
    }
  }

  private @Nullable GroupDraft hostFor(GroupDraft d, List<GroupDraft> hosts) {
    int f = d.frames.get(0);
    GroupDraft best = null;
    double nearest = NEAR;
    // hosts are near in time only if they are near in the list: look at the latest ones
    for (int i = hosts.size() - 1; i >= 0 && i >= hosts.size() - 40; i--) {
      GroupDraft h = hosts.get(i);
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

  private int nearestFrame(GroupDraft h, int f) {
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
    if (model.flash(f) != model.flash(g)
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
}
