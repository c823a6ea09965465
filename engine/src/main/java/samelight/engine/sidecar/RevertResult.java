package samelight.engine.sidecar;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;

/**
 * What a revert, or the recovery after a crash, did.
 *
 * @param carries ids of the carries that were undone, latest first; empty where there was nothing
 * @param sidecars one entry for each sidecar of these carries
 * @param strays temporary files of ours that a crash had left and that were deleted
 */
public record RevertResult(List<String> carries, List<Entry> sidecars, List<String> strays) {
  /** What happened to one sidecar. */
  public enum What {
    /** Brought back byte for byte. */
    RESTORED,
    /** Removed, as there was none before. */
    REMOVED,
    /** Already as it was before: nothing to do. */
    ALREADY,
    /** Touched since by a person or program: left alone. */
    TOUCHED_SINCE,
    /** Refused: not a plain path of a sidecar inside the shoot. */
    REFUSED,
    /** The system refused to write it. */
    COULD_NOT_WRITE
  }

  /**
   * One sidecar.
   *
   * @param sidecar path relative to the shoot, as the journal has it
   * @param what what happened
   * @param detail more in words, or empty
   */
  public record Entry(String sidecar, What what, String detail) {}

  /** Nothing done. */
  public static final RevertResult NOTHING = new RevertResult(List.of(), List.of(), List.of());

  /** Copies its lists. */
  public RevertResult {
    carries = List.copyOf(carries);
    sidecars = List.copyOf(sidecars);
    strays = List.copyOf(strays);
  }

  /** How many sidecars each thing happened to. */
  public Map<What, Integer> counts() {
    Map<What, Integer> counts = new EnumMap<>(What.class);
    for (Entry e : sidecars) {
      counts.merge(e.what(), 1, Integer::sum);
    }
    return counts;
  }

  /** Whether a person should look (exit status 1). */
  public boolean attention() {
    return sidecars.stream()
        .anyMatch(
            e -> e.what() != What.RESTORED && e.what() != What.REMOVED && e.what() != What.ALREADY);
  }

  /** Whether the system refused to write something (exit status 4). */
  public boolean couldNotWrite() {
    return sidecars.stream().anyMatch(e -> e.what() == What.COULD_NOT_WRITE);
  }
}
