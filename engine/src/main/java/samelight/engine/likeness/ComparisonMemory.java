package samelight.engine.likeness;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Remembers what looking at pictures showed, so that none is looked at twice. Pictures are told by
 * a number that hangs on their pixels, their orientation and the response of their body; the
 * answers hang on nothing else. An implementation may forget at any time.
 */
public interface ComparisonMemory {
  /** Remembers nothing. */
  ComparisonMemory NONE =
      new ComparisonMemory() {
        @Override
        public boolean remembers() {
          return false;
        }

        @Override
        public @Nullable Answer answer(Question question, long first, long second) {
          return null;
        }

        @Override
        public void keep(
            Question question, long first, long second, @Nullable SharedContent found) {}

        @Override
        public @Nullable ViewFacts facts(long picture) {
          return null;
        }

        @Override
        public void keep(long picture, ViewFacts facts) {}
      };

  /** What was asked of two pictures. */
  enum Question {
    /** {@link Registration#sameFraming}. */
    SAME_FRAMING(0),
    /** {@link Registration#of}. */
    SHARED(1),
    /** {@link Registration#again}, from what {@link #SAME_FRAMING} found. */
    AGAIN(2);

    private static final List<Question> ALL = List.of(values());

    private final int code;

    Question(int code) {
      this.code = code;
    }

    /** The number that stands for it, 0 to 3. */
    public int code() {
      return code;
    }

    /**
     * The question of a number.
     *
     * @throws IllegalArgumentException if there is none
     */
    public static Question of(int code) {
      for (Question q : ALL) {
        if (q.code == code) {
          return q;
        }
      }
      throw new IllegalArgumentException("a question must be 0 to 2, was " + code);
    }
  }

  /**
   * What was found.
   *
   * @param shared what two pictures share, or null if nothing could be verified
   */
  record Answer(@Nullable SharedContent shared) {}

  /** Whether it is worth asking. */
  boolean remembers();

  /** What was found before, or null if these pictures were not compared. */
  @Nullable Answer answer(Question question, long first, long second);

  /** Keeps what was found. */
  void keep(Question question, long first, long second, @Nullable SharedContent found);

  /** What a picture was found to say, or null. */
  @Nullable ViewFacts facts(long picture);

  /** Keeps what a picture says. */
  void keep(long picture, ViewFacts facts);
}
