package samelight.engine.account;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How far a frame is.
 *
 * @param frame path relative to the shoot
 * @param section id of its section, by its group, else by its neighbour on the same body; empty
 *     where neither tells
 * @param group id of its group, or empty
 * @param reference whether it is the reference of its group
 * @param out why it is not kept, or null where it is
 * @param graded whether it is a reference whose grade is known
 * @param carried whether a recipe stands in its sidecar
 * @param edited whether a person had edited it before the first carry
 * @param touched whether a person changed it since it was carried
 * @param eyes why a person should look at it, whether or not somebody has; empty where not
 */
public record FrameStanding(
    String frame,
    String section,
    String group,
    boolean reference,
    @Nullable Out out,
    boolean graded,
    boolean carried,
    boolean edited,
    boolean touched,
    List<String> eyes) {
  /** Why a frame is not kept. */
  public enum Out {
    /** Rated -1 by a person, or by `keepers --mark`. */
    REJECTED("rated -1"),
    /** Proposed out by the keepers, and not rated since. */
    PROPOSED_OUT("proposed out by `keepers`"),
    /** Left out by a decision. */
    LEFT_OUT("left out by you");

    private final String words;

    Out(String words) {
      this.words = words;
    }

    /** In words. */
    public String words() {
      return words;
    }
  }

  /** Copies its list. */
  public FrameStanding {
    eyes = List.copyOf(eyes);
  }

  /** Whether it is to be delivered, as far as is known. */
  public boolean kept() {
    return out == null;
  }

  /** Whether it is in a group. */
  public boolean grouped() {
    return !group.isEmpty();
  }

  /** Whether it is kept, needs eyes, and no touch by a person shows that somebody has looked. */
  public boolean needsEyes() {
    return kept() && !eyes.isEmpty() && !touched && !edited;
  }
}
