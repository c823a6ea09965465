package samelight.engine.match;

import java.util.List;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.Frame;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Kelvin;
import samelight.engine.quantity.Mired;

/**
 * Grade + match for one frame: what its sidecar says.
 *
 * @param frame path relative to the shoot
 * @param section id of its section
 * @param group id of its group
 * @param reference path of its reference
 * @param stopsToReference what makes it render like its ungraded reference; 0 on the reference
 * @param exposure grade's exposure + {@code stopsToReference}
 * @param stopsSigma one standard deviation of the match in stops
 * @param miredSigma one standard deviation of the match in mired
 * @param colourTemperature the grade's, moved by the drift of the light; null without one in the
 *     grade
 * @param duv the grade's, moved by the drift of the light; null without one in the grade
 * @param miredFromAsShot 10<sup>6</sup>/colourTemperature minus 10<sup>6</sup>/(as-shot kelvin of
 *     this frame); null when either is unknown
 * @param needsEyes reasons; empty when none
 */
public record Recipe(
    String frame,
    String section,
    String group,
    String reference,
    Ev stopsToReference,
    Ev exposure,
    Ev stopsSigma,
    Mired miredSigma,
    @Nullable Kelvin colourTemperature,
    @Nullable Duv duv,
    @Nullable Mired miredFromAsShot,
    List<String> needsEyes) {

  /** Copies its list. */
  public Recipe {
    needsEyes = List.copyOf(needsEyes);
  }

  /**
   * The recipe of one frame.
   *
   * @param grade the edit on the reference
   * @param match the frame's match to that reference
   * @param frame the frame, for its as-shot white point
   */
  public static Recipe of(String section, String group, Grade grade, Match match, Frame frame) {
    Kelvin kelvin = null;
    if (grade.kelvin() != null) {
      double mired = grade.kelvin().toMired().value() + match.mired().value();
      kelvin = new Mired(Math.min(2000, Math.max(1, mired))).toKelvin();
    }
    Duv duv = null;
    if (grade.duv() != null) {
      duv = new Duv(Math.max(-0.2, Math.min(0.2, grade.duv().value() + match.duv().value())));
    }
    Kelvin asShot = frame.whiteBalance().point().kelvin();
    Mired fromAsShot =
        kelvin == null || asShot == null ? null : kelvin.toMired().minus(asShot.toMired());
    return new Recipe(
        match.frame(),
        section,
        group,
        match.reference(),
        match.stops(),
        grade.exposure().plus(match.stops()),
        match.stopsSigma(),
        match.miredSigma(),
        kelvin,
        duv,
        fromAsShot,
        match.needsEyes());
  }
}
