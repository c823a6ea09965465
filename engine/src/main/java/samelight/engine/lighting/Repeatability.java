package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.List;
import samelight.engine.likeness.SharedContent;
import samelight.engine.photometry.Weighted;

/**
 * How well settings repeat and pictures measure, and how unequally flash reaches what a framing
 * shows, learned from framings, where the content is the same.
 *
 * <p>In steady light the step e that a picture shows beyond the settings is the error of both. Its
 * mean square over all such steps, joined with a prior of {@value #PRIOR_SETTINGS} stop worth
 * {@value #PRIOR_STEPS} steps, is an upper bound for either.
 *
 * <p>Flash that changes by g between two frames changes near and far things unequally: their gains
 * spread by s, against s<sub>0</sub> without flash. The share of a change by which people may
 * differ from the rest is c h with h&sup2; = &Sigma;(s&sup2; - s<sub>0</sub>&sup2;) /
 * &Sigma;g&sup2;, where c is what people, who fill the less part of a picture, lie outside of a
 * robust spread; h joins a prior worth some flashes.
 *
 * @param settings one standard deviation of a difference of exposures by settings or by pictures of
 *     one framing, in stops
 * @param flash share of a change of flash that people may have got differently, 0 to 1
 */
record Repeatability(double settings, double flash) {
  /** Shutter and diaphragm repeat to this (common practice, no source). */
  static final double PRIOR_SETTINGS = 0.02;

  static final double PRIOR_STEPS = 10;

  /** What stands behind people has a half to all of their flash (common practice, no source). */
  private static final double PRIOR_FLASH = 0.35;

  /** Squares of changes, in stops, that weigh as much as the prior: five of 0.2. */
  private static final double PRIOR_CHANGES = 0.2;

  /** People lie outside of three robust deviations of a picture's patches, mostly. */
  private static final double OUTSIDE = 3;

  private static final double MOST_FLASH = 0.5;

  /** Collects steps of framings. */
  static final class Learner {
    private double squares = PRIOR_STEPS * PRIOR_SETTINGS * PRIOR_SETTINGS;
    private double steps = PRIOR_STEPS;
    private final List<Double> plain = new ArrayList<>();
    private final List<Double> lit = new ArrayList<>();
    private double changes;

    /** A step in steady light: what the picture shows beyond the settings, in stops. */
    void settled(double error) {
      squares += error * error;
      steps++;
    }

    /** How parts of a picture agree about a step; only frames of one kind are taken. */
    void parts(SharedContent shared, boolean flashBefore, boolean flash) {
      if (flashBefore != flash) {
        return;
      }
      (flash ? lit : plain).add(shared.spread() * shared.spread());
      if (flash) {
        changes += shared.gain() * shared.gain();
      }
    }

    Repeatability learned() {
      double usual =
          plain.isEmpty()
              ? PRIOR_SETTINGS * PRIOR_SETTINGS
              : Weighted.median(plain.stream().mapToDouble(Double::doubleValue).toArray());
      double unequal = lit.stream().mapToDouble(s -> s - usual).sum();
      double share =
          (PRIOR_CHANGES * PRIOR_FLASH * PRIOR_FLASH + OUTSIDE * OUTSIDE * Math.max(0, unequal))
              / (PRIOR_CHANGES + changes);
      return new Repeatability(Math.sqrt(squares / steps), Math.min(MOST_FLASH, Math.sqrt(share)));
    }
  }
}
