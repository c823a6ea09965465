package samelight.engine.delivery;

import java.time.Instant;
import java.util.List;

/**
 * One delivery that was made: a line of the shoot's books.
 *
 * @param at when it was whole
 * @param from the folder of exports, absolute
 * @param to the gallery's folder, absolute
 * @param kind whole or early
 * @param files all files of pictures in the gallery, in its order
 */
public record Delivery(Instant at, String from, String to, Kind kind, List<DeliveredFile> files) {
  /** What was delivered. */
  public enum Kind {
    /** All frames that are kept. */
    WHOLE,
    /** A first small set. */
    EARLY
  }

  /**
   * @throws IllegalArgumentException if a folder has no name
   */
  public Delivery {
    if (from.isBlank() || to.isBlank()) {
      throw new IllegalArgumentException(
          "both folders of a delivery must be named, was \"" + from + "\", \"" + to + "\"");
    }
    files = List.copyOf(files);
  }

  /** Whether another delivery put the same files into the same folder. */
  public boolean sameAs(Delivery other) {
    return from.equals(other.from)
        && to.equals(other.to)
        && kind == other.kind
        && files.equals(other.files);
  }
}
