package samelight.samples.light;

/**
 * The light that falls on the subject.
 *
 * @param ev100 its strength as the exposure value at ISO 100 that an incident meter shows, -10 to
 *     20; illuminance is E = 2.5 * 2^EV lux for the usual C = 250
 * @param white its chromaticity
 */
public record Light(double ev100, Chromaticity white) {

  /** Checks the range. */
  public Light {
    if (!(ev100 >= -10 && ev100 <= 20)) {
      throw new IllegalArgumentException("light must be EV -10 to 20, got " + ev100);
    }
  }

  /** Light of a lamp: on the Planckian locus or off it by {@code duv}. */
  public static Light lamp(double ev100, double kelvin, double duv) {
    return new Light(ev100, Krystek1985.chromaticity(kelvin, duv));
  }

  /** Daylight of a temperature of 4000 K or more; below that the sun's own Planckian light. */
  public static Light day(double ev100, double kelvin) {
    return new Light(
        ev100,
        kelvin >= 4000
            ? CieDaylight.chromaticity(kelvin)
            : Krystek1985.chromaticity(kelvin, 0.003));
  }

  /** Both lights together: their illuminances and tristimulus values add up. */
  public Light plus(Light other) {
    double a = StrictMath.pow(2, ev100);
    double b = StrictMath.pow(2, other.ev100);
    double[] p = white.xyz();
    double[] q = other.white.xyz();
    return new Light(
        log2(a + b),
        Chromaticity.ofXyz(
            new double[] {a * p[0] + b * q[0], a * p[1] + b * q[1], a * p[2] + b * q[2]}));
  }

  /** The same colour, brighter by some stops. */
  public Light brighter(double stops) {
    return new Light(ev100 + stops, white);
  }

  /** Correlated colour temperature in kelvin ({@link Krystek1985}). */
  public double kelvin() {
    return Krystek1985.kelvin(white);
  }

  /** Distance from the Planckian locus ({@link Krystek1985}). */
  public double duv() {
    return Krystek1985.duv(white);
  }

  /** Illuminance in lux. */
  public double lux() {
    return 2.5 * StrictMath.pow(2, ev100);
  }

  /** Logarithm to the base 2. */
  public static double log2(double v) {
    return StrictMath.log(v) / StrictMath.log(2);
  }
}
