package samelight.engine.lighting;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import samelight.engine.likeness.Look;
import samelight.engine.likeness.SharedContent;
import samelight.engine.timeline.TimedFrame;

/**
 * Finds framings that show the same background. Each framing is compared with the latest ones of
 * each body and with the latest of each place seen lately, so that the number of comparisons grows
 * with the number of framings only.
 */
final class LinkFinder {
  private static final int LATEST_PER_BODY = 5;
  private static final int LATEST_PER_OTHER_BODY = 3;
  private static final int LATEST_PER_PLACE = 3;
  private static final int MOST_CANDIDATES = 14;

  /** Links to one place beyond this many on one body add little. */
  private static final int ENOUGH_LINKS = 2;

  /** Light changes by more than this, in stops, are rare enough to ask for strong support. */
  private static final double LIKELY_CHANGE = 0.35;

  /**
   * Where less than this share of the picture agrees, it may be another person in a like dress: a
   * change of light is believed up to this, in stops, which is what such links err by.
   */
  private static final double PART = 0.3;

  private static final double LIKELY_CHANGE_IN_PART = 0.1;

  /** Light of one place, as settings and brightness imply it, differs by less, in stops. */
  private static final double MOST_CHANGE = 3;

  /**
   * Colour of one place, as rendered, differs by less, in stops of red and of blue over green:
   * white balance takes most of the light's colour out, and what is shown changes the rest.
   */
  private static final double MOST_COLOUR_CHANGE = 1.25;

  /** So are returns after more than this, in seconds. */
  private static final double LIKELY_PAUSE = 1800;

  /** Agreeing patches times their share, or these patches alone: what an unlikely link needs. */
  private static final double STRONG_SUPPORT = 13;

  private static final int STRONG_PATCHES = 24;

  /** A place not seen for this long, in seconds, is not looked for again. */
  private static final double FORGOTTEN = 2 * 3600;

  private final List<TimedFrame> frames;
  private final List<Framing> framings;
  private final Views views;
  private final int[] parent;

  LinkFinder(List<TimedFrame> frames, List<Framing> framings, Views views) {
    this.frames = frames;
    this.framings = framings;
    this.views = views;
    this.parent = new int[framings.size()];
    Arrays.setAll(parent, i -> i);
  }

  /** All verified links, in the order of the day. */
  List<LightLink> find() {
    List<LightLink> links = new ArrayList<>();
    Map<String, ArrayDeque<Integer>> latest = new LinkedHashMap<>();
    Map<Integer, ArrayDeque<Integer>> places = new LinkedHashMap<>();
    for (int k = 0; k < framings.size(); k++) {
      Look view = views.of(framings.get(k).base());
      String body = bodyOf(k);
      if (view != null) {
        Map<String, Integer> enough = new HashMap<>();
        Set<Integer> found = new LinkedHashSet<>();
        for (int candidate : candidates(k, body, latest, places)) {
          Look other = views.of(framings.get(candidate).base());
          String key = root(candidate) + " " + bodyOf(candidate);
          if (other == null
              || !plausible(candidate, other, k, view)
              || enough.getOrDefault(key, 0) >= ENOUGH_LINKS) {
            continue;
          }
          SharedContent shared = other.shared(view);
          if (shared != null && credible(candidate, k, shared)) {
            links.add(new LightLink(candidate, k, shared));
            found.add(root(candidate));
            enough.merge(key, 1, Integer::sum);
          }
        }
        for (int place : found) {
          join(place, k, places);
        }
      }
      latest.computeIfAbsent(body, b -> new ArrayDeque<>()).addFirst(k);
      ArrayDeque<Integer> own = latest.get(body);
      if (own != null && own.size() > LATEST_PER_BODY) {
        own.removeLast();
      }
      ArrayDeque<Integer> place = places.remove(root(k));
      if (place == null) {
        place = new ArrayDeque<>();
      }
      place.addFirst(k);
      while (place.size() > LATEST_PER_PLACE) {
        place.removeLast();
      }
      places.put(root(k), place); // the latest place last
    }
    return links;
  }

  private Set<Integer> candidates(
      int k,
      String body,
      Map<String, ArrayDeque<Integer>> latest,
      Map<Integer, ArrayDeque<Integer>> places) {
    Set<Integer> out = new LinkedHashSet<>();
    ArrayDeque<Integer> own = latest.get(body);
    if (own != null) {
      out.addAll(own);
    }
    latest.forEach((b, recent) -> recent.stream().limit(LATEST_PER_OTHER_BODY).forEach(out::add));
    double now = frames.get(framings.get(k).base()).seconds();
    List<ArrayDeque<Integer>> byAge = new ArrayList<>(places.values());
    for (int i = byAge.size() - 1; i >= 0 && out.size() < MOST_CANDIDATES; i--) {
      for (int c : byAge.get(i)) {
        double then = frames.get(framings.get(c).base()).seconds();
        if (!(now - then > FORGOTTEN) && out.size() < MOST_CANDIDATES) {
          out.add(c);
        }
      }
    }
    return out;
  }

  /**
   * Whether two framings can show one place at all: their colours, and without flash their light by
   * settings and brightness, must be alike within what content and weather explain.
   */
  private boolean plausible(int from, Look a, int to, Look b) {
    TimedFrame f = frames.get(framings.get(from).base());
    TimedFrame g = frames.get(framings.get(to).base());
    double red = b.facts().redGreen() - a.facts().redGreen();
    double blue = b.facts().blueGreen() - a.facts().blueGreen();
    if (Math.hypot(red, blue) > MOST_COLOUR_CHANGE) {
      return false;
    }
    if (f.frame().flashFired() || g.frame().flashFired()) {
      return true;
    }
    double light = b.facts().brightness() + g.ev() - a.facts().brightness() - f.ev();
    return !(Math.abs(light) > MOST_CHANGE);
  }

  /**
   * Whether a link may be believed. A person in the same dress is found again elsewhere as readily
   * as a background; then the light that follows is mostly absurd. The less likely the light and
   * the longer the pause, the more of the picture must agree.
   */
  private boolean credible(int from, int to, SharedContent shared) {
    TimedFrame a = frames.get(framings.get(from).base());
    TimedFrame b = frames.get(framings.get(to).base());
    boolean flash = a.frame().flashFired() || b.frame().flashFired();
    double settings = b.ev() - a.ev();
    double light = flash || Double.isNaN(settings) ? 0.5 * shared.gain() : shared.gain() + settings;
    boolean ordinary =
        Math.abs(light) <= (shared.agreement() < PART ? LIKELY_CHANGE_IN_PART : LIKELY_CHANGE)
            && !(b.seconds() - a.seconds() > LIKELY_PAUSE);
    double support = shared.agreeing() * shared.agreement();
    return ordinary || support >= STRONG_SUPPORT || shared.agreeing() >= STRONG_PATCHES;
  }

  private String bodyOf(int k) {
    return frames.get(framings.get(k).base()).frame().body().id();
  }

  private int root(int k) {
    int r = k;
    while (parent[r] != r) {
      parent[r] = parent[parent[r]];
      r = parent[r];
    }
    return r;
  }

  private void join(int a, int b, Map<Integer, ArrayDeque<Integer>> places) {
    int ra = root(a);
    int rb = root(b);
    if (ra == rb) {
      return;
    }
    int low = Math.min(ra, rb);
    int high = Math.max(ra, rb);
    parent[high] = low;
    ArrayDeque<Integer> gone = places.remove(high);
    if (gone != null) {
      ArrayDeque<Integer> kept = places.computeIfAbsent(low, x -> new ArrayDeque<>());
      kept.addAll(gone);
      while (kept.size() > LATEST_PER_PLACE) {
        kept.removeLast();
      }
    }
  }
}
