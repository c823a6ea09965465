package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.likeness.Look;
import samelight.engine.likeness.SharedContent;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.timeline.TimedFrame;

/**
 * Finds framings along each body's time line from the pictures themselves, and learns each body's
 * response from frames of one framing made at different settings.
 */
final class FramingFinder {
  /** A framing isn't held longer than this, in seconds: light and people have moved on. */
  private static final double LONGEST_PAUSE = 120;

  /** Least difference of settings that tells something of the response, in stops. */
  private static final double LEAST_STEP = 0.25;

  private static final int MOST_SAMPLES = 20_000;

  /** A frame of a run; bands are the amplitude by which it differs from the one before. */
  private record Member(int index, int against, @Nullable SharedContent shared, double bands) {}

  private FramingFinder() {}

  /**
   * What was found.
   *
   * @param framings in the order of their first frames
   * @param responses of the bodies
   * @param repeatability of settings, pictures and flash in them
   */
  record Found(
      List<Framing> framings, Map<String, BodyResponse> responses, Repeatability repeatability) {}

  static Found find(List<TimedFrame> frames, ComparisonMemory memory) {
    Map<String, List<Integer>> bodies = new LinkedHashMap<>();
    for (TimedFrame f : frames) {
      bodies.computeIfAbsent(f.frame().body().id(), k -> new ArrayList<>()).add(f.index());
    }
    Views plain = new Views(frames, Map.of(), memory);
    List<List<Member>> raw = new ArrayList<>();
    Map<String, BodyResponse> responses = new HashMap<>();
    bodies.forEach(
        (body, own) -> {
          List<BodyResponse.Sample> samples = new ArrayList<>();
          List<List<Member>> found = runs(frames, own, plain, samples);
          raw.addAll(found);
          responses.put(body, BodyResponse.learn(samples));
        });
    raw.sort((a, b) -> Integer.compare(a.get(0).index(), b.get(0).index()));
    Views views = new Views(frames, responses, memory);
    List<Framing> framings = new ArrayList<>();
    Repeatability.Learner learner = new Repeatability.Learner();
    for (List<Member> run : raw) {
      framings.add(measure(run, frames, views, learner));
    }
    return new Found(framings, responses, learner.learned());
  }

  private static List<List<Member>> runs(
      List<TimedFrame> frames, List<Integer> own, Views views, List<BodyResponse.Sample> samples) {
    List<List<Member>> out = new ArrayList<>();
    List<Member> run = new ArrayList<>();
    for (int index : own) {
      Member next = run.isEmpty() ? null : follow(frames, run, index, views);
      if (next == null) {
        if (!run.isEmpty()) {
          out.add(run);
        }
        run = new ArrayList<>();
        next = new Member(index, index, null, 0);
      } else if (next.shared() != null && next.bands() == 0 && samples.size() < MOST_SAMPLES) {
        sample(frames.get(next.against()), frames.get(index), next.shared(), views, samples);
      }
      run.add(next);
    }
    if (!run.isEmpty()) {
      out.add(run);
    }
    return out;
  }

  private static @Nullable Member follow(
      List<TimedFrame> frames, List<Member> run, int index, Views views) {
    int last = run.get(run.size() - 1).index();
    double pause = frames.get(index).seconds() - frames.get(last).seconds();
    if (!(pause <= LONGEST_PAUSE)) {
      return null;
    }
    Look view = views.of(index);
    Look before = views.of(last);
    if (view == null || before == null) {
      return null;
    }
    Member next = follow(frames, last, before, index, view);
    if (next != null) {
      return next;
    }
    if (run.size() > 1) {
      int earlier = run.get(run.size() - 2).index();
      Look other = views.of(earlier);
      if (other != null) {
        return follow(frames, earlier, other, index, view);
      }
    }
    return null;
  }

  private static @Nullable Member follow(
      List<TimedFrame> frames, int last, Look before, int index, Look view) {
    if (Lamplight.flickers(frames.get(last)) && Lamplight.flickers(frames.get(index))) {
      Look.Banded banded = before.banded(view);
      if (banded != null) {
        return new Member(index, last, banded.shared(), banded.amplitude());
      }
    }
    SharedContent shared = before.sameFraming(view);
    return shared == null ? null : new Member(index, last, shared, 0);
  }

  private static void sample(
      TimedFrame a,
      TimedFrame b,
      SharedContent shared,
      Views views,
      List<BodyResponse.Sample> samples) {
    double settings = a.ev() - b.ev();
    if (!(Math.abs(settings) >= LEAST_STEP)
        || a.frame().flashFired()
        || b.frame().flashFired()
        || b.seconds() - a.seconds() > 5) {
      return;
    }
    Look va = views.of(a.index());
    Look vb = views.of(b.index());
    if (va == null || vb == null) {
      return;
    }
    for (double[] row : va.levels(vb, shared)) {
      samples.add(
          new BodyResponse.Sample((row[0] + row[1]) / 2, row[1] - row[0], settings, b.index()));
    }
  }

  /** Gains of all members against the one in the middle of the range of exposures. */
  private static Framing measure(
      List<Member> run, List<TimedFrame> frames, Views views, Repeatability.Learner learner) {
    int n = run.size();
    double[] gain = new double[n];
    double[] sigma = new double[n];
    double[] rg = new double[n];
    double[] bg = new double[n];
    double bands = 0;
    Map<Integer, Integer> place = new HashMap<>();
    List<Integer> members = new ArrayList<>(n);
    for (int i = 0; i < n; i++) {
      Member m = run.get(i);
      members.add(m.index());
      place.put(m.index(), i);
      SharedContent shared = m.shared();
      if (shared == null) {
        continue;
      }
      Look a = views.of(m.against());
      Look b = views.of(m.index());
      int from = place.getOrDefault(m.against(), 0);
      bands = Math.max(bands, m.bands());
      SharedContent s = a == null || b == null || m.bands() > 0 ? shared : a.again(b, shared);
      gain[i] = gain[from] + s.gain();
      rg[i] = rg[from] + s.redGreen();
      bg[i] = bg[from] + s.blueGreen();
      // errors of successive steps are mostly of one picture's noise: they don't pile up
      sigma[i] = Math.max(sigma[from], s.patchSigma());
      learner.parts(
          s,
          frames.get(m.against()).frame().flashFired(),
          frames.get(m.index()).frame().flashFired());
    }
    settle(gain, members, frames, learner);
    int base = middle(gain, members, frames);
    double g0 = gain[base];
    double r0 = rg[base];
    double b0 = bg[base];
    for (int i = 0; i < n; i++) {
      gain[i] -= g0;
      rg[i] -= r0;
      bg[i] -= b0;
    }
    return new Framing(members.get(base), members, gain, sigma, rg, bg, bands);
  }

  /**
   * Where the pictures agree with the settings to 0.06 stop from one frame to the next, the light
   * was steady and the settings are exact: their differences are taken instead.
   */
  private static void settle(
      double[] gain,
      List<Integer> members,
      List<TimedFrame> frames,
      Repeatability.Learner learner) {
    double[] measured = gain.clone();
    for (int i = 1; i < gain.length; i++) {
      TimedFrame a = frames.get(members.get(i - 1));
      TimedFrame b = frames.get(members.get(i));
      double byPicture = measured[i] - measured[i - 1];
      double bySettings = a.ev() - b.ev();
      boolean steady =
          !a.frame().flashFired()
              && !b.frame().flashFired()
              && Math.abs(byPicture - bySettings) <= 0.06 + 0.03 * Math.abs(bySettings);
      if (steady) {
        learner.settled(byPicture - bySettings);
      }
      gain[i] = gain[i - 1] + (steady ? bySettings : byPicture);
    }
  }

  private static int middle(double[] gain, List<Integer> members, List<TimedFrame> frames) {
    double[] sorted = gain.clone();
    java.util.Arrays.sort(sorted);
    double median = sorted[sorted.length / 2];
    int best = 0;
    for (int i = 1; i < gain.length; i++) {
      if (cost(i, gain, median, members, frames)
          < cost(best, gain, median, members, frames) - 1e-9) {
        best = i;
      }
    }
    return best;
  }

  /** Far from the median exposure is bad; a flash that may not have given light is worse. */
  private static double cost(
      int i, double[] gain, double median, List<Integer> members, List<TimedFrame> frames) {
    int fired = 0;
    for (int m : members) {
      fired += frames.get(m).frame().flashFired() ? 1 : 0;
    }
    boolean mostly = fired * 2 >= members.size();
    boolean unlike = frames.get(members.get(i)).frame().flashFired() != mostly;
    return Math.abs(gain[i] - median) + (unlike ? 2 : 0);
  }
}
