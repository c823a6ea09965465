package samelight.engine.match;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import samelight.engine.lighting.LightDifference;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Mired;
import samelight.engine.timeline.TimedFrame;

/**
 * Turns a difference between a frame and its reference into a match, with the reasons for which a
 * person should look.
 *
 * <p>With EV100 from exact settings (ISO 2720; Exif 2.2, Annex C) and the light of the scene on the
 * same scale, a frame renders light - EV100 stops above mid-grey. To render like its reference it
 * needs (EV100<sub>f</sub> - EV100<sub>ref</sub>) - (light<sub>f</sub> - light<sub>ref</sub>) stops
 * more. The first part is the camera's doing and is always compensated whole; of the second the
 * photographer may leave a part, so that an evening stays an evening.
 */
public final class Matcher {
  /** Two frames within this look lit alike side by side (common practice, no source), in stops. */
  public static final double TOLERANCE_STOPS = 1.0 / 6;

  /** The same for colour, in mired (common practice, no source). */
  public static final double TOLERANCE_MIRED = 10;

  /** Brightening by more than this lifts noise into sight (common practice, no source). */
  private static final double NOISY_LIFT = 1.5;

  private final double follow;

  /**
   * A matcher.
   *
   * @param follow how much of the difference that the light made is compensated, 0 to 1
   */
  public Matcher(double follow) {
    this.follow = follow;
  }

  /**
   * The match of a frame to its reference.
   *
   * @param frame the frame
   * @param reference the reference
   * @param difference of the frame against the reference
   */
  public Match match(TimedFrame frame, TimedFrame reference, LightDifference difference) {
    boolean known = !Double.isNaN(frame.ev()) && !Double.isNaN(reference.ev());
    double settings = known ? frame.ev() - reference.ev() : 0;
    double whole = -difference.rendered().stops();
    double light = settings - whole;
    boolean flash = frame.frame().flashFired() || reference.frame().flashFired();
    double part = flash ? 1 : follow;
    double stops = round(settings - part * light);
    List<String> notes = new ArrayList<>();
    notes.add("basis: " + words(difference.kind()));
    if (part < 1) {
      notes.add(String.format(Locale.ROOT, "follow %.2f of what the light did", part));
    }
    return new Match(
        frame.frame().file(),
        reference.frame().file(),
        new Ev(stops),
        difference.sigma(),
        new Mired(part * difference.mired().value()),
        difference.miredSigma(),
        new Duv(part * difference.duv().value()),
        reasons(frame, difference, stops, flash, known),
        new Evidence(
            new Ev(settings),
            new Ev(round(light)),
            "light over framings by shared content, one weighted least-squares system per place"
                + " (after Brown and Lowe 2007)",
            difference.witnesses(),
            notes));
  }

  /** Numbers are kept to a ten-thousandth of a stop, so that equal light gives equal recipes. */
  private static double round(double v) {
    return Math.round(v * 1e4) / 1e4;
  }

  private static String words(LightDifference.Kind kind) {
    return switch (kind) {
      case SAME -> "the reference itself";
      case FRAMING -> "same framing: the pictures themselves";
      case STEADY -> "steady light shown by the pictures: exact settings";
      case SHARED -> "the same background seen in both";
      case SETTINGS -> "settings and brightness: nothing shared with the group's reference";
      case BRIGHTNESS -> "brightness alone: nothing shared with the group's reference";
      case NONE -> "nothing to go by";
    };
  }

  private static List<String> reasons(
      TimedFrame frame, LightDifference d, double stops, boolean flash, boolean known) {
    List<String> reasons = new ArrayList<>();
    double two = 2 * d.sigma().stops();
    if (two > TOLERANCE_STOPS) {
      String range = String.format(Locale.ROOT, "±%.1f stop", two);
      reasons.add(
          switch (d.kind()) {
            case SETTINGS -> "alone in its framing, " + range;
            case BRIGHTNESS ->
                flash
                    ? "flash varied, brightness only, " + range
                    : "alone in its framing: brightness only, " + range;
            case NONE -> "no settings and no picture to compare";
            default -> "light changed here, " + range;
          });
    }
    if (2 * d.miredSigma().value() > TOLERANCE_MIRED && reasons.isEmpty()) {
      reasons.add(
          String.format(
              Locale.ROOT,
              "colour of the light uncertain, ±%.0f mired",
              2 * d.miredSigma().value()));
    }
    if (!known && reasons.isEmpty()) {
      reasons.add("exposure settings missing");
    }
    reasons.addAll(d.cautions());
    if (stops > NOISY_LIFT) {
      reasons.add(String.format(Locale.ROOT, "brightened by %.1f stops: noise", stops));
    }
    String mode = frame.frame().picture().brightening();
    if (mode != null && d.kind() != LightDifference.Kind.SAME) {
      reasons.add("camera brightened the picture (" + mode + "): raw and preview differ");
    }
    return reasons;
  }
}
