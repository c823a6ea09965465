package samelight.engine.colour;

import java.util.Map;
import java.util.Optional;
import samelight.engine.quantity.Kelvin;

/**
 * What the codes of Exif LightSource (and DNG CalibrationIlluminant) say of colour temperature.
 *
 * <p>Codes 12 to 16 are ranges in [EXIF], whose limits [EXIF22] drew a little differently (13: 4600
 * to 5400, 14: 3900 to 4500, 15: 3200 to 3700; no 16); the nominal value is the middle in mired,
 * and lies within both. Codes 17 to 23 are illuminants with a stated temperature ([CIE15]).
 * Tungsten is taken for illuminant A, photographic daylight, fine weather and flash for 5500 K,
 * cloudy for 6500, shade for 7500, studio tungsten for 3200 K: common practice, no source.
 */
public final class LightSources {
  /**
   * Colour temperature of a light source preset.
   *
   * @param kelvin nominal value
   * @param lowest lower end of the preset's range; the nominal value where it is exact
   * @param highest upper end of the preset's range; the nominal value where it is exact
   */
  public record Nominal(Kelvin kelvin, Kelvin lowest, Kelvin highest) {
    /**
     * @throws IllegalArgumentException if the nominal value lies outside the range
     */
    public Nominal {
      if (kelvin.compareTo(lowest) < 0 || kelvin.compareTo(highest) > 0) {
        throw new IllegalArgumentException(
            "nominal temperature must lie within its range "
                + lowest.value()
                + " and "
                + highest.value()
                + " K, was "
                + kelvin.value());
      }
    }
  }

  private static final Map<Integer, Nominal> BY_CODE =
      Map.ofEntries(
          Map.entry(1, exact(5500)), // daylight
          Map.entry(2, range(2600, 7100)), // fluorescent of any kind
          Map.entry(3, exact(2856)), // tungsten
          Map.entry(4, exact(5500)), // flash
          Map.entry(9, exact(5500)), // fine weather
          Map.entry(10, exact(6500)), // cloudy
          Map.entry(11, exact(7500)), // shade
          Map.entry(12, range(5700, 7100)), // daylight fluorescent
          Map.entry(13, range(4600, 5500)), // day white fluorescent
          Map.entry(14, range(3800, 4500)), // cool white fluorescent
          Map.entry(15, range(3250, 3800)), // white fluorescent
          Map.entry(16, range(2600, 3250)), // warm white fluorescent
          Map.entry(17, exact(2856)), // illuminant A
          Map.entry(18, exact(4874)), // illuminant B
          Map.entry(19, exact(6774)), // illuminant C
          Map.entry(20, exact(5503)), // D55
          Map.entry(21, exact(6504)), // D65
          Map.entry(22, exact(7504)), // D75
          Map.entry(23, exact(5003)), // D50
          Map.entry(24, exact(3200))); // studio tungsten

  private LightSources() {}

  /**
   * The colour temperature of a preset.
   *
   * @param code Exif LightSource
   * @return empty for unknown (0), other (255) and codes that the standard doesn't know
   */
  public static Optional<Nominal> nominal(int code) {
    return Optional.ofNullable(BY_CODE.get(code));
  }

  private static Nominal exact(double kelvin) {
    Kelvin k = new Kelvin(kelvin);
    return new Nominal(k, k, k);
  }

  private static Nominal range(double low, double high) {
    return new Nominal(new Kelvin(2 / (1 / low + 1 / high)), new Kelvin(low), new Kelvin(high));
  }
}
