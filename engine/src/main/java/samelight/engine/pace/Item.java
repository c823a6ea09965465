package samelight.engine.pace;

import java.time.Duration;
import java.util.List;

/**
 * One thing to do in one go.
 *
 * @param task what
 * @param section id of its section; empty where it is in none
 * @param group id of its group; empty where it is in none
 * @param frames frames that it is about, in the order of the day; paths relative to the shoot
 * @param time how long it takes, more than nothing
 */
public record Item(Task task, String section, String group, List<String> frames, Duration time) {
  /**
   * @throws IllegalArgumentException if there is no frame, or if the time isn't positive
   */
  public Item {
    frames = List.copyOf(frames);
    if (frames.isEmpty()) {
      throw new IllegalArgumentException("an item must be about one frame or more, was about none");
    }
    if (time.isZero() || time.isNegative()) {
      throw new IllegalArgumentException("an item must take some time, was " + time);
    }
  }
}
