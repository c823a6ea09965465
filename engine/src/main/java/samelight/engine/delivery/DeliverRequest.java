package samelight.engine.delivery;

import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import samelight.engine.store.Plan;
import samelight.engine.timeline.TimedFrame;

/**
 * What to deliver.
 *
 * @param shoot the shoot's folder, absolute and without links
 * @param plan its plan
 * @param day all its frames in the order of the day, by corrected clocks, with sidecars' ratings
 * @param from folder of exports
 * @param to the gallery's folder; made where missing, in a folder that exists
 * @param options how
 */
public record DeliverRequest(
    Path shoot, Plan plan, List<TimedFrame> day, Path from, Path to, Options options) {
  /** Copies its list. */
  public DeliverRequest {
    day = List.copyOf(day);
  }

  /**
   * How to deliver.
   *
   * @param withFindings whether to deliver what can be in spite of findings
   * @param strip whether metadata are reduced to dates, author, rights and colour
   * @param copyright text to set, or empty to keep what exports say; only where {@code strip}
   * @param embedSrgb whether exports without a colour profile get sRGB's
   * @param minEdge pixels that the longer edge must have, or 0
   * @param minQuality JPEG quality that is asked, 1 to 100, or 0
   * @param early how many frames make the first small set, or 0 for the whole
   * @param order frames that are to exchange places, in the order asked for
   * @param openings frames asked for as opening pictures
   * @param page whether the page to look through and the contact sheet are made
   * @param web pixels of the longer edge of further sizes for the web, or 0
   */
  public record Options(
      boolean withFindings,
      boolean strip,
      String copyright,
      boolean embedSrgb,
      int minEdge,
      int minQuality,
      int early,
      List<String> order,
      Set<String> openings,
      boolean page,
      int web) {
    /** Nothing asked. */
    public static final Options PLAIN =
        new Options(false, true, "", false, 0, 0, 0, List.of(), Set.of(), true, 0);

    /**
     * @throws IllegalArgumentException if a number is out of its range, or rights are set without
     *     reducing metadata
     */
    public Options {
      order = List.copyOf(order);
      openings = Set.copyOf(openings);
      check(minEdge >= 0, "the longer edge must be 0 or more pixels", minEdge);
      check(minQuality >= 0 && minQuality <= 100, "the quality must be 0 to 100", minQuality);
      check(early >= 0, "an early set must have 0 or more frames", early);
      check(
          web == 0 || (web >= 256 && web <= 8_192),
          "sizes for the web must be 256 to 8192 pixels, or 0",
          web);
      if (!strip && !copyright.isEmpty()) {
        throw new IllegalArgumentException(
            "a copyright is set only where metadata are reduced, was \"" + copyright + "\"");
      }
    }

    private static void check(boolean holds, String rule, int was) {
      if (!holds) {
        throw new IllegalArgumentException(rule + ", was " + was);
      }
    }

    Delivery.Kind kind() {
      return early > 0 ? Delivery.Kind.EARLY : Delivery.Kind.WHOLE;
    }
  }
}
