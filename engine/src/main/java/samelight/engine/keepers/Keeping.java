package samelight.engine.keepers;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import samelight.engine.frame.Frame;

/**
 * What was asked of the keepers, and what they proposed. It names frames, so that it outlives every
 * regrouping.
 *
 * @param keep how many frames of each framing to keep; 0 where nothing is proposed out
 * @param musts pictures that were asked for
 * @param takes what is proposed, in the order of the framings; empty before the first proposal
 */
public record Keeping(int keep, List<MustHave> musts, List<Take> takes) {
  /** Nothing asked yet. */
  public static final Keeping NONE = new Keeping(0, List.of(), List.of());

  /**
   * @throws IllegalArgumentException if {@code keep} is negative
   */
  public Keeping {
    if (keep < 0) {
      throw new IllegalArgumentException("frames to keep must be 0 or more, was " + keep);
    }
    musts = List.copyOf(musts);
    takes = List.copyOf(takes);
  }

  /** What was proposed, less what is gone, and with the word of a person who rated since. */
  public Keeping current(List<Frame> frames) {
    if (takes.isEmpty()) {
      return this;
    }
    Map<String, Frame> byFile = new HashMap<>();
    frames.forEach(f -> byFile.put(f.file(), f));
    List<Take> now = new ArrayList<>();
    for (Take take : takes) {
      Frame frame = byFile.get(take.frame());
      if (frame != null) {
        boolean kept = !take.keep() && frame.marks().rated() && !frame.marks().rejected();
        now.add(kept ? take.keptByPerson() : take);
      }
    }
    return new Keeping(keep, musts, now);
  }

  /** Frames that are proposed out. */
  public Set<String> proposedOut() {
    Set<String> out = new LinkedHashSet<>();
    for (Take take : takes) {
      if (!take.keep()) {
        out.add(take.frame());
      }
    }
    return out;
  }
}
