package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import samelight.engine.photometry.Weighted;

/**
 * Proposes the reference of a group: the frame to which the sum of uncertainties is least, not
 * clipped, and typical of the group's exposure.
 */
final class ReferenceChoice {
  private final LightModel model;
  private final Set<String> ineligible;

  ReferenceChoice(LightModel model, Set<String> ineligible) {
    this.model = model;
    this.ineligible = ineligible;
  }

  /** The proposed frame of a group, as its place in the order of the day. */
  int propose(List<Integer> frames) {
    Map<Integer, List<Integer>> byFraming = new TreeMap<>();
    // frames that can't be a reference count all the same, so that rejecting one moves nothing
    Map<Integer, List<Integer>> all = new TreeMap<>();
    for (int f : frames) {
      all.computeIfAbsent(model.framingOf[f], k -> new ArrayList<>()).add(f);
      if (!ineligible.contains(model.frames.get(f).frame().file())) {
        byFraming.computeIfAbsent(model.framingOf[f], k -> new ArrayList<>()).add(f);
      }
    }
    if (byFraming.isEmpty()) {
      return frames.get(0);
    }
    double typical = Weighted.median(frames.stream().mapToDouble(model::rendering).toArray());
    int best = -1;
    double least = Double.MAX_VALUE;
    for (List<Integer> members : byFraming.values()) {
      int candidate = nearest(members, typical);
      double cost = 0;
      for (List<Integer> others : all.values()) {
        double s = model.sigma(candidate, others.get(0));
        cost += Math.min(1, s) * others.size();
      }
      cost = cost / frames.size();
      cost += 0.02 * Math.abs(model.rendering(candidate) - typical);
      cost += 0.5 * model.clipped(candidate);
      if (cost < least - 1e-9) {
        least = cost;
        best = candidate;
      }
    }
    return best;
  }

  private int nearest(List<Integer> members, double typical) {
    int base = model.framings.get(model.framingOf[members.get(0)]).base();
    int best = members.get(0);
    for (int f : members) {
      double d = Math.abs(model.rendering(f) - typical) - (f == base ? 0.01 : 0);
      double b = Math.abs(model.rendering(best) - typical) - (best == base ? 0.01 : 0);
      if (d < b - 1e-9) {
        best = f;
      }
    }
    return best;
  }
}
