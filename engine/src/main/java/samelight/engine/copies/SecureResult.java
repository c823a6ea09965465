package samelight.engine.copies;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What became of the cards.
 *
 * @param cards each card, a twin last
 * @param places each destination
 * @param holes holes in cameras' numbering, in words
 * @param twin what differs between a card and its twin, in words; empty without a twin
 * @param notes what a person should know of the drives, in words
 */
public record SecureResult(
    List<CardResult> cards,
    List<PlaceResult> places,
    List<String> holes,
    List<String> twin,
    List<String> notes) {
  /** Copies its lists. */
  public SecureResult {
    cards = List.copyOf(cards);
    places = List.copyOf(places);
    holes = List.copyOf(holes);
    twin = List.copyOf(twin);
    notes = List.copyOf(notes);
  }

  /**
   * One card.
   *
   * @param root its folder
   * @param label the line for its label where it may be put away, else null
   * @param files files on it
   * @param bytes bytes on it
   * @param copied files that were copied now
   * @param before files that were copied before, or stood there with the same bytes
   * @param unreadable files that could not be read, with the reason
   * @param odd what was left out since it is no regular file
   * @param why why it may not be put away, in words; empty where it may
   */
  public record CardResult(
      String root,
      @Nullable String label,
      int files,
      long bytes,
      int copied,
      int before,
      List<String> unreadable,
      List<String> odd,
      String why) {
    /** Copies its lists. */
    public CardResult {
      unreadable = List.copyOf(unreadable);
      odd = List.copyOf(odd);
    }

    /** Whether all of it stands on every destination, read back and compared. */
    public boolean mayBePutAway() {
      return label != null;
    }
  }

  /**
   * One destination.
   *
   * @param folder the copied shoot
   * @param drive on which drive, for a person
   * @param direct whether everything was read back past the page cache
   * @param readBack files that were read back and found equal
   * @param clashes same names with other bytes: what was kept under which name
   * @param refused single files that could not be written or were wrong when read back
   * @param broken why nothing more could be written, or null
   */
  public record PlaceResult(
      String folder,
      String drive,
      boolean direct,
      int readBack,
      List<String> clashes,
      List<String> refused,
      @Nullable String broken) {
    /** Copies its lists. */
    public PlaceResult {
      clashes = List.copyOf(clashes);
      refused = List.copyOf(refused);
    }
  }

  /** Whether something on a card could not be read. */
  public boolean unreadable() {
    return cards.stream().anyMatch(c -> !c.unreadable().isEmpty());
  }

  /** Whether something could not be written. */
  public boolean notWritten() {
    return places.stream().anyMatch(p -> p.broken() != null || !p.refused().isEmpty());
  }

  /** Whether a person should look at something, though all is copied. */
  public boolean attention() {
    return !holes.isEmpty()
        || !twin.isEmpty()
        || !notes.isEmpty()
        || cards.stream().anyMatch(c -> !c.odd().isEmpty() || !c.mayBePutAway())
        || places.stream().anyMatch(p -> !p.clashes().isEmpty());
  }
}
