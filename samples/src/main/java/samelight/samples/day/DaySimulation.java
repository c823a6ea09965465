package samelight.samples.day;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Random;
import java.util.Set;
import samelight.samples.camera.Body;

/**
 * Plays one day: shares the frames out among the acts and lets each photographer work through them.
 *
 * <p>Pure: the same arguments give the same shots.
 */
public final class DaySimulation {

  /** Most frames of one day; a longer shoot is several days. */
  public static final int LONGEST_DAY = 6000;

  private final long seed;
  private final List<Body> bodies;
  private final Set<Trouble> troubles;
  private final boolean brackets;
  private final boolean greyCard;

  /**
   * A simulation.
   *
   * @param bodyCount 2 or 3
   * @param brackets whether a few exposure brackets are shot
   * @param greyCard whether every frame shows a grey card
   */
  public DaySimulation(
      long seed, int bodyCount, Set<Trouble> troubles, boolean brackets, boolean greyCard) {
    if (bodyCount != 2 && bodyCount != 3) {
      throw new IllegalArgumentException("bodies must be 2 or 3, got " + bodyCount);
    }
    this.seed = seed;
    bodies = Bodies.of(seed, bodyCount, troubles.contains(Trouble.PROFILE));
    this.troubles = Set.copyOf(troubles);
    this.brackets = brackets;
    this.greyCard = greyCard;
  }

  /** The bodies of the shoot. */
  public List<Body> bodies() {
    return bodies;
  }

  /**
   * All shots of a day in the order of true time.
   *
   * @param day number of the day, from 0
   * @param frames 1 to {@link #LONGEST_DAY}
   */
  public List<Shot> shots(int day, int frames) {
    if (frames < 1 || frames > LONGEST_DAY) {
      throw new IllegalArgumentException(
          "a day has 1 to " + LONGEST_DAY + " frames, got " + frames);
    }
    Random r = new Random(seed * 1_000_003 + 7919L * day + 1);
    r.nextLong();
    List<Act> acts = Script.acts(r, troubles, frames, bodies.size() > 2);
    int[] counts = share(acts, frames);
    Casting casting = new Casting(seed + day, greyCard);
    List<Shot> all = new ArrayList<>();
    double start = 30 + 60 * r.nextDouble();
    int next = 0;
    for (Act act : acts) {
      start += act.pause() * (0.8 + 0.4 * r.nextDouble());
      double end = start + act.leastSeconds();
      for (Act.Shift shift : act.shifts()) {
        Photographer p =
            new Photographer(
                bodies.get(shift.body()),
                day,
                act,
                shift,
                start,
                casting,
                troubles,
                brackets,
                r.nextLong(),
                1_000_000L * day + 10_000L * next);
        List<Shot> shots = p.shoot(counts[next++]);
        all.addAll(shots);
        for (Shot s : shots) {
          end = Math.max(end, s.seconds());
        }
      }
      start = end;
    }
    all.sort(Comparator.comparingDouble(Shot::seconds).thenComparing(s -> s.body().id()));
    return all;
  }

  /** Largest remainders: counts that add up exactly. */
  private static int[] share(List<Act> acts, int frames) {
    List<Act.Shift> shifts = acts.stream().flatMap(a -> a.shifts().stream()).toList();
    double whole = shifts.stream().mapToDouble(Act.Shift::weight).sum();
    int[] counts = new int[shifts.size()];
    List<Integer> order = new ArrayList<>();
    int given = 0;
    for (int i = 0; i < counts.length; i++) {
      counts[i] = (int) (frames * shifts.get(i).weight() / whole);
      given += counts[i];
      order.add(i);
    }
    order.sort(
        Comparator.comparingDouble(
            (Integer i) -> counts[i] - frames * shifts.get(i).weight() / whole));
    for (int i = 0; given < frames; i++, given++) {
      counts[order.get(i)]++;
    }
    return counts;
  }
}
