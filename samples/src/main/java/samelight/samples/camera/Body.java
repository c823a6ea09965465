package samelight.samples.camera;

import java.util.List;
import samelight.samples.light.Chromaticity;

/**
 * An invented camera body as it is on one shoot.
 *
 * @param id short name in the truth file
 * @param maker invented maker
 * @param model invented model
 * @param serial serial number
 * @param folder who carries it: the folder of its frames
 * @param prefix four characters that its file names begin with
 * @param firstNumber number of its first frame, 1 to 9999
 * @param step dial step in sixths of a stop: 2 for thirds, 3 for halves
 * @param sensitivityStops how much brighter it renders than its marks say
 * @param autoWhiteMired how far its automatic white balance lies from the light on average
 * @param sensor colour response
 * @param profile what its files say about that response
 * @param curve tone curve
 * @param clockOffset seconds by which its clock is ahead of the true time at the start of the day
 * @param clockDrift seconds that its clock gains in eight hours
 * @param utcOffset what OffsetTimeOriginal says, or empty if the body writes none
 * @param subSecondDigits digits of SubSecTimeOriginal, 1 to 3
 * @param lenses the usual lens first, a second one after it
 */
public record Body(
    String id,
    String maker,
    String model,
    String serial,
    String folder,
    String prefix,
    int firstNumber,
    int step,
    double sensitivityStops,
    double autoWhiteMired,
    Sensor sensor,
    Sensor profile,
    ToneCurve curve,
    double clockOffset,
    double clockDrift,
    String utcOffset,
    int subSecondDigits,
    List<Lens> lenses) {

  /** Checks the ranges. */
  public Body {
    if (step != 2 && step != 3) {
      throw new IllegalArgumentException("dial step must be 2 or 3 sixths of a stop, got " + step);
    }
    if (prefix.length() != 4) {
      throw new IllegalArgumentException("DCF file names begin with 4 characters, got " + prefix);
    }
    if (firstNumber < 1 || firstNumber > 9999) {
      throw new IllegalArgumentException("DCF numbers are 1 to 9999, got " + firstNumber);
    }
    lenses = List.copyOf(lenses);
  }

  /** The colour that this body's files make of a light: its own, unless the profile is off. */
  public Chromaticity read(Chromaticity light) {
    return profile.equals(sensor) ? light : profile.read(sensor.white(light));
  }

  /** What the body's clock shows at a true time, both in seconds. */
  public double shown(double trueSeconds) {
    return trueSeconds + clockOffset + clockDrift * trueSeconds / 28800;
  }
}
