package samelight.engine.match;

import java.util.List;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Mired;

/**
 * What to add to a frame so that it renders like its ungraded reference.
 *
 * @param frame the frame
 * @param reference its reference
 * @param stops stops to add; + brightens; zero on the reference
 * @param stopsSigma one standard deviation of {@code stops}, 0 or more
 * @param mired by how much the light is warmer (+) than the reference's, in mired: what is added to
 *     the reciprocal of the grade's colour temperature
 * @param miredSigma one standard deviation of {@code mired}, 0 or more
 * @param duv by how much the light is greener (+) than the reference's
 * @param needsEyes reasons in words why a person should look; empty when sure
 * @param evidence what it was made from
 */
public record Match(
    String frame,
    String reference,
    Ev stops,
    Ev stopsSigma,
    Mired mired,
    Mired miredSigma,
    Duv duv,
    List<String> needsEyes,
    Evidence evidence) {

  /**
   * @throws IllegalArgumentException if a sigma is negative
   */
  public Match {
    if (stopsSigma.stops() < 0 || miredSigma.value() < 0) {
      throw new IllegalArgumentException(
          "sigma must not be negative, was "
              + stopsSigma.stops()
              + " EV and "
              + miredSigma.value()
              + " mired");
    }
    needsEyes = List.copyOf(needsEyes);
  }
}
