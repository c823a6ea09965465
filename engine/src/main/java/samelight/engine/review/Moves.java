package samelight.engine.review;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import samelight.engine.lighting.Decisions;

/**
 * The moves that turn one grouping of frames into another. Of each wanted group the largest part
 * that is together already stays where it is; what isn't in it moves to a frame of that part.
 */
final class Moves {
  private Moves() {}

  /**
   * Works the moves out.
   *
   * @param found groups without moves
   * @param wanted groups of the same frames
   */
  static List<Decisions.Move> between(List<List<String>> found, List<List<String>> wanted) {
    Map<String, Integer> wantedOf = new HashMap<>();
    for (int w = 0; w < wanted.size(); w++) {
      for (String frame : wanted.get(w)) {
        wantedOf.put(frame, w);
      }
    }
    // the part that stays of each wanted group, largest first come
    Map<Integer, List<String>> stays = new HashMap<>();
    for (List<String> group : found) {
      Map<Integer, List<String>> parts = new HashMap<>();
      for (String frame : group) {
        Integer w = wantedOf.get(frame);
        if (w != null) {
          parts.computeIfAbsent(w, x -> new ArrayList<>()).add(frame);
        }
      }
      int home = -1;
      int most = 0;
      for (Map.Entry<Integer, List<String>> part : parts.entrySet()) {
        int size = part.getValue().size();
        if (size > most || (size == most && part.getKey() < home)) {
          home = part.getKey();
          most = size;
        }
      }
      if (home >= 0 && most > stays.getOrDefault(home, List.of()).size()) {
        stays.put(home, parts.get(home));
      }
    }
    List<Decisions.Move> moves = new ArrayList<>();
    for (int w = 0; w < wanted.size(); w++) {
      List<String> group = wanted.get(w);
      List<String> part = stays.getOrDefault(w, List.of());
      Set<String> staying = new HashSet<>(part);
      String anchor = part.isEmpty() ? group.get(0) : part.get(0);
      if (part.isEmpty()) {
        moves.add(new Decisions.Move(anchor, anchor));
        staying.add(anchor);
      }
      for (String frame : group) {
        if (!staying.contains(frame)) {
          moves.add(new Decisions.Move(frame, anchor));
        }
      }
    }
    return moves;
  }
}
