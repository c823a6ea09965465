package samelight.engine.delivery;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * Chooses the first small set: the highest rated frame of every section as far as the number goes,
 * then the highest rated of all; among frames of one rating the sections take turns, those with the
 * fewest chosen first, and within a section the choice is spread over its time.
 */
final class Early {
  private Early() {}

  /**
   * A frame that may be chosen.
   *
   * @param section id of its section
   * @param rating 1 to 5, or 0 for none
   */
  record Candidate(String frame, String section, double rating) {}

  /**
   * Chooses.
   *
   * @param candidates in the order of the day
   * @param number how many; all where there are fewer
   * @return the chosen frames
   */
  static Set<String> choose(List<Candidate> candidates, int number) {
    Map<String, List<Candidate>> sections = new LinkedHashMap<>();
    for (Candidate c : candidates) {
      sections.computeIfAbsent(c.section, s -> new ArrayList<>()).add(c);
    }
    List<Queue> queues = new ArrayList<>();
    sections.values().forEach(own -> queues.add(new Queue(queues.size(), spread(own))));
    Set<String> chosen = new HashSet<>();
    List<Queue> best = new ArrayList<>(queues);
    best.sort(Comparator.comparingDouble(Queue::rating).reversed());
    for (Queue q : best) {
      if (chosen.size() < number) {
        q.take(chosen);
      }
    }
    java.util.PriorityQueue<Queue> turns =
        new java.util.PriorityQueue<>(
            Comparator.comparingDouble(Queue::rating)
                .reversed()
                .thenComparingInt(q -> q.taken)
                .thenComparingInt(q -> q.index));
    queues.stream().filter(Queue::left).forEach(turns::add);
    while (chosen.size() < number && !turns.isEmpty()) {
      Queue q = turns.remove();
      q.take(chosen);
      if (q.left()) {
        turns.add(q);
      }
    }
    return chosen;
  }

  /** By rating; frames of one rating in an order of which every beginning is spread out. */
  private static List<Candidate> spread(List<Candidate> own) {
    List<Candidate> out = new ArrayList<>();
    Map<Double, List<Candidate>> ratings =
        new java.util.TreeMap<>(Comparator.<Double>reverseOrder());
    own.forEach(c -> ratings.computeIfAbsent(c.rating, r -> new ArrayList<>()).add(c));
    for (List<Candidate> same : ratings.values()) {
      // the sequence of van der Corput over the next power of two, its middle first
      int bits = Math.max(1, 32 - Integer.numberOfLeadingZeros(same.size()));
      for (int i = 1; i < 1 << bits; i++) {
        int at = Integer.reverse(i) >>> (32 - bits);
        if (at < same.size()) {
          out.add(same.get(at));
        }
      }
      out.add(same.get(0));
    }
    return out;
  }

  /** What is left of a section. */
  private static final class Queue {
    final int index;
    final List<Candidate> frames;
    int taken;

    Queue(int index, List<Candidate> frames) {
      this.index = index;
      this.frames = frames;
    }

    boolean left() {
      return taken < frames.size();
    }

    double rating() {
      return left() ? frames.get(taken).rating : -1;
    }

    void take(Set<String> chosen) {
      chosen.add(frames.get(taken++).frame);
    }
  }
}
