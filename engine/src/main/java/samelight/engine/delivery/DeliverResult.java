package samelight.engine.delivery;

import java.util.List;
import java.util.SortedMap;
import org.jspecify.annotations.Nullable;

/**
 * What a delivery did.
 *
 * @param delivery what stands in the gallery, or null where nothing was written
 * @param findings what was found wrong
 * @param notes what else is worth knowing
 * @param exports JPEGs in the folder of exports
 * @param kept frames that are to be delivered
 * @param copied pictures that were copied now
 * @param reused pictures that stood in the gallery already and were verified again
 * @param gone pictures of an earlier delivery that are no more in it
 * @param sections how many pictures each folder has
 */
public record DeliverResult(
    @Nullable Delivery delivery,
    List<DeliveryFinding> findings,
    List<String> notes,
    int exports,
    int kept,
    int copied,
    int reused,
    int gone,
    SortedMap<String, Integer> sections) {
  /** Copies its lists. */
  public DeliverResult {
    findings = List.copyOf(findings);
    notes = List.copyOf(notes);
    sections = java.util.Collections.unmodifiableSortedMap(new java.util.TreeMap<>(sections));
  }
}
