package samelight.engine.pace;

import java.util.List;

/**
 * How much is to be done.
 *
 * @param references references to grade
 * @param framings framings that need eyes
 * @param eyes frames in these
 * @param look frames to look through
 */
public record WorkCount(int references, int framings, int eyes, int look) {
  /** Counts. */
  public static WorkCount of(List<Item> items) {
    int references = 0;
    int framings = 0;
    int eyes = 0;
    int look = 0;
    for (Item i : items) {
      switch (i.task()) {
        case REFERENCE -> references++;
        case EYES -> {
          framings++;
          eyes += i.frames().size();
        }
        case LOOK -> look += i.frames().size();
      }
    }
    return new WorkCount(references, framings, eyes, look);
  }
}
