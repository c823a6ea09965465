package samelight.engine.review;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import samelight.engine.Analysis;
import samelight.engine.lighting.Decisions;
import samelight.engine.lighting.LightingGroup;
import samelight.engine.store.PhotographerDecisions;

/**
 * Adds a decision to those made so far. Whatever was joined, split and moved before, the groups
 * afterwards are those before but for what the decision says: where joins and splits alone would
 * make others, moves make up for it.
 */
public final class Deciding {
  private final PhotographerDecisions before;
  private final Analysis seen;
  private final Function<PhotographerDecisions, Analysis> grouping;
  private final Map<String, LightingGroup> groupOf = new HashMap<>();
  private final List<String> notes = new ArrayList<>();

  /**
   * What came of a decision.
   *
   * @param decisions all decisions now
   * @param analysis the groups that they make
   * @param notes what else had to be changed, in words
   */
  public record Decided(PhotographerDecisions decisions, Analysis analysis, List<String> notes) {
    /** Copies its list. */
    public Decided {
      notes = List.copyOf(notes);
    }
  }

  private Deciding(
      PhotographerDecisions before,
      Analysis seen,
      Function<PhotographerDecisions, Analysis> grouping) {
    this.before = before;
    this.seen = seen;
    this.grouping = grouping;
    for (LightingGroup group : seen.groups()) {
      group.frames().forEach(f -> groupOf.put(f, group));
    }
  }

  /**
   * Adds a decision.
   *
   * @param before the decisions so far
   * @param seen the groups that these make
   * @param change the decision
   * @param grouping groups the shoot under any decisions
   * @throws ChangeRefusedException if it can't be done
   */
  public static Decided decide(
      PhotographerDecisions before,
      Analysis seen,
      Change change,
      Function<PhotographerDecisions, Analysis> grouping) {
    Deciding deciding = new Deciding(before, seen, grouping);
    PhotographerDecisions after = deciding.after(change);
    return new Decided(after, grouping.apply(after), deciding.notes);
  }

  private PhotographerDecisions after(Change change) {
    if (change instanceof Change.Reference c) {
      return reference(c.frame());
    } else if (change instanceof Change.BodyReference c) {
      return bodyReference(c.frame(), c.ofBody());
    } else if (change instanceof Change.Split c) {
      return split(c.frame());
    } else if (change instanceof Change.Join c) {
      return join(c.first(), c.second());
    } else if (change instanceof Change.Move c) {
      return move(c.frames(), c.to());
    } else if (change instanceof Change.LeaveOut c) {
      return leaveOut(c.frames());
    } else if (change instanceof Change.TakeIn c) {
      return takeIn(c.frames());
    } else if (change instanceof Change.NameSection c) {
      return name(c.frame(), c.name());
    } else if (change instanceof Change.StateGrade c) {
      known(c.frame());
      return c.grade() == null
          ? before.withoutGrade(c.frame())
          : before.withGrade(c.frame(), c.grade());
    }
    throw new IllegalStateException("no such change: " + change);
  }

  private PhotographerDecisions reference(String frame) {
    group(frame);
    return before.withReference(frame);
  }

  private PhotographerDecisions bodyReference(String frame, Set<String> ofBody) {
    List<String> own = group(frame).frames().stream().filter(ofBody::contains).toList();
    if (own.size() == group(frame).frames().size()) {
      throw new ChangeRefusedException(
          "all frames of the group of " + frame + " are by one body: make it the reference");
    }
    return move(own, null).withReference(frame);
  }

  private PhotographerDecisions split(String frame) {
    List<String> frames = group(frame).frames();
    int at = frames.indexOf(frame);
    if (at == 0) {
      throw new ChangeRefusedException(frame + " is the first frame of its group already");
    }
    List<List<String>> wanted = groupsBut(Set.copyOf(frames));
    wanted.add(frames.subList(0, at));
    wanted.add(frames.subList(at, frames.size()));
    return simplest(List.of(before.withSplit(frame), before), wanted);
  }

  private PhotographerDecisions join(String first, String second) {
    LightingGroup one = group(first);
    LightingGroup two = group(second);
    if (one.id().equals(two.id())) {
      throw new ChangeRefusedException(first + " and " + second + " are in one group already");
    }
    sameKind(List.of(first), second);
    Set<String> both = new HashSet<>(one.frames());
    both.addAll(two.frames());
    List<List<String>> wanted = groupsBut(both);
    wanted.add(seen.order().stream().filter(both::contains).toList());
    PhotographerDecisions joined = before.withJoin(first, second);
    List<String> between =
        before.lighting().splits().stream()
            .filter(both::contains)
            .filter(s -> !s.equals(wanted.get(wanted.size() - 1).get(0)))
            .toList();
    PhotographerDecisions best =
        simplest(
            List.of(before.withoutSplits(between), joined.withoutSplits(between), joined, before),
            wanted);
    List<String> gone = new ArrayList<>(before.lighting().splits());
    gone.removeAll(best.lighting().splits());
    if (!gone.isEmpty()) {
      notes.add("took back the split at " + String.join(", ", gone));
    }
    return best;
  }

  private PhotographerDecisions move(List<String> frames, @Nullable String to) {
    frames.forEach(this::group);
    Set<String> moving = new HashSet<>(frames);
    if (frames.isEmpty()) {
      throw new ChangeRefusedException("no frame to move");
    }
    sameKind(frames, to == null ? frames.get(0) : to);
    List<List<String>> wanted = new ArrayList<>();
    Set<String> target = to == null ? Set.of() : new HashSet<>(group(to).frames());
    if (target.containsAll(moving)) {
      throw new ChangeRefusedException("the frames are in that group already");
    }
    Set<LightingGroup> left = new HashSet<>();
    frames.forEach(f -> left.add(group(f)));
    for (LightingGroup g : seen.groups()) {
      boolean goal = to != null && target.contains(g.frames().get(0));
      List<String> rest =
          !goal && !left.contains(g)
              ? g.frames()
              : seen.order().stream()
                  .filter(
                      f ->
                          goal
                              ? target.contains(f) || moving.contains(f)
                              : g.equals(groupOf.get(f)) && !moving.contains(f))
                  .toList();
      if (!rest.isEmpty()) {
        wanted.add(rest);
      }
    }
    if (to == null) {
      wanted.add(seen.order().stream().filter(moving::contains).toList());
    }
    return simplest(List.of(before), wanted);
  }

  private PhotographerDecisions leaveOut(List<String> frames) {
    if (frames.isEmpty()) {
      throw new ChangeRefusedException("no frame to leave out");
    }
    frames.forEach(this::group);
    Set<String> out = new HashSet<>(frames);
    if (out.containsAll(groupOf.keySet())) {
      throw new ChangeRefusedException("one frame must stay in a group");
    }
    return before.withLeftOut(frames);
  }

  private PhotographerDecisions takeIn(List<String> frames) {
    Set<String> out = new HashSet<>(before.lighting().leftOut());
    for (String frame : frames) {
      if (!out.contains(frame)) {
        throw new ChangeRefusedException(frame + " was not left out");
      }
    }
    return before.withoutLeftOut(frames);
  }

  private PhotographerDecisions name(String frame, String name) {
    String section = group(frame).section();
    Map<String, String> names = new HashMap<>(before.lighting().sectionNames());
    names
        .keySet()
        .removeIf(
            f -> {
              LightingGroup g = groupOf.get(f);
              return g != null && g.section().equals(section);
            });
    if (!name.isBlank()) {
      names.put(frame, name.strip());
    }
    return before.withLighting(before.lighting().withSectionNames(names));
  }

  /** Of several decisions, with the moves that each needs, the ones that need fewest. */
  private PhotographerDecisions simplest(
      List<PhotographerDecisions> candidates, List<List<String>> wanted) {
    PhotographerDecisions best = null;
    for (PhotographerDecisions candidate : candidates) {
      Decisions lighting = candidate.lighting();
      PhotographerDecisions plain = candidate.withLighting(lighting.withMoves(List.of()));
      List<List<String>> found =
          grouping.apply(plain).groups().stream().map(LightingGroup::frames).toList();
      List<Decisions.Move> moves = Moves.between(found, wanted);
      if (best == null || moves.size() < best.lighting().moves().size()) {
        best = candidate.withLighting(lighting.withMoves(moves));
      }
      if (moves.isEmpty()) {
        break;
      }
    }
    return java.util.Objects.requireNonNull(best);
  }

  private List<List<String>> groupsBut(Collection<String> frames) {
    List<List<String>> out = new ArrayList<>();
    for (LightingGroup g : seen.groups()) {
      if (!frames.contains(g.frames().get(0))) {
        out.add(g.frames());
      }
    }
    return out;
  }

  private LightingGroup group(String frame) {
    LightingGroup group = groupOf.get(frame);
    if (group == null) {
      known(frame);
      throw new ChangeRefusedException(
          frame + " is in no group (" + seen.unmatched().getOrDefault(frame, "no match") + ")");
    }
    return group;
  }

  private void known(String frame) {
    if (!groupOf.containsKey(frame) && !seen.unmatched().containsKey(frame)) {
      throw new ChangeRefusedException("no such frame: " + frame);
    }
  }

  private static void sameKind(Collection<String> frames, String other) {
    for (String frame : frames) {
      if (jpeg(frame) != jpeg(other)) {
        throw new ChangeRefusedException(
            "a raw and a JPEG share no group, since a grade can't be carried between them: "
                + frame
                + " and "
                + other);
      }
    }
  }

  private static boolean jpeg(String file) {
    String lower = file.toLowerCase(Locale.ROOT);
    return lower.endsWith(".jpg") || lower.endsWith(".jpeg");
  }
}
