package samelight.engine.pace;

import java.time.Duration;

/** A kind of work in a raw editor. */
public enum Task {
  /** Grade one reference. */
  REFERENCE(Duration.ofMinutes(4)),
  /** Look at the frames of one framing that need eyes, and touch them as one. */
  EYES(Duration.ofSeconds(45)),
  /** Look through frames that are to be delivered; the time is for one frame. */
  LOOK(Duration.ofSeconds(3));

  private final Duration firstGuess;

  Task(Duration firstGuess) {
    this.firstGuess = firstGuess;
  }

  /**
   * Time of one before anything was learned: of a reference, of a framing, of a frame looked
   * through. Common practice, no source.
   */
  public Duration firstGuess() {
    return firstGuess;
  }
}
