package samelight.engine.copies;

import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What to copy where.
 *
 * @param cards folders of cards, one or more
 * @param twin the second slot's card, or null
 * @param destinations folders that exist, one or more
 * @param name the shoot's name, not blank
 * @param drives tells the drive of a folder
 */
public record SecureRequest(
    List<Path> cards,
    @Nullable Path twin,
    List<Path> destinations,
    String name,
    DriveFinder drives) {

  /** Tells on which drive a folder lies. */
  public interface DriveFinder {
    /**
     * The drive of a folder.
     *
     * @throws java.io.IOException if the system doesn't say
     */
    Drive of(Path folder) throws java.io.IOException;
  }

  /**
   * @throws IllegalArgumentException if there is no card, no destination or no name
   */
  public SecureRequest {
    cards = List.copyOf(cards);
    destinations = List.copyOf(destinations);
    if (cards.isEmpty() || destinations.isEmpty() || name.isBlank()) {
      throw new IllegalArgumentException(
          "a copy needs a card, a destination and a name, had "
              + cards
              + ", "
              + destinations
              + ", \""
              + name
              + "\"");
    }
  }

  /** On this machine's drives. */
  public static SecureRequest of(
      List<Path> cards, @Nullable Path twin, List<Path> destinations, String name) {
    return new SecureRequest(cards, twin, destinations, name, Drive::of);
  }
}
