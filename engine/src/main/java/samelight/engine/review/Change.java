package samelight.engine.review;

import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.engine.match.Grade;

/** One more decision of the photographer. Frames are named by their paths. */
public sealed interface Change {
  /** The frame becomes the reference of its group. */
  record Reference(String frame) implements Change {}

  /**
   * The frame becomes the reference of what its body made in its group: these frames form a group
   * of their own, so that each body is graded by itself.
   *
   * @param ofBody all frames by that body, the frame among them
   */
  record BodyReference(String frame, Set<String> ofBody) implements Change {
    /**
     * Copies its set.
     *
     * @throws IllegalArgumentException if the frame isn't among them
     */
    public BodyReference {
      ofBody = Set.copyOf(ofBody);
      if (!ofBody.contains(frame)) {
        throw new IllegalArgumentException("frames of a body must hold the frame, had no " + frame);
      }
    }
  }

  /** The frame and the later ones of its group form a group of their own. */
  record Split(String frame) implements Change {}

  /** The groups of two frames become one. */
  record Join(String first, String second) implements Change {}

  /**
   * Frames move to the group of another.
   *
   * @param to a frame of the group; null for a group of their own
   */
  record Move(List<String> frames, @Nullable String to) implements Change {
    /** Copies its list. */
    public Move {
      frames = List.copyOf(frames);
    }
  }

  /** Frames belong to no group any more and get no recipe. */
  record LeaveOut(List<String> frames) implements Change {
    /** Copies its list. */
    public LeaveOut {
      frames = List.copyOf(frames);
    }
  }

  /** Frames that were left out belong to a group again. */
  record TakeIn(List<String> frames) implements Change {
    /** Copies its list. */
    public TakeIn {
      frames = List.copyOf(frames);
    }
  }

  /**
   * The section that the frame is in gets a name.
   *
   * @param name blank for the name that it had by itself
   */
  record NameSection(String frame, String name) implements Change {}

  /**
   * The frame's grade without a raw editor.
   *
   * @param grade null takes the stated grade back
   */
  record StateGrade(String frame, @Nullable Grade grade) implements Change {}
}
