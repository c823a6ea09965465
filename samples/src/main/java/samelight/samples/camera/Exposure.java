package samelight.samples.camera;

/**
 * The dials of one exposure in exact sixths of a stop, which hold both thirds and halves.
 *
 * <p>With the APEX values of Exif 2.2, Annex C: N = 2^(Av/2), t = 2^-Tv, ISO = 100 * 2^sv.
 *
 * @param av aperture value in sixths, 0 (f/1) to 60 (f/32)
 * @param tv time value in sixths, -30 (30 s) to 78 (1/8000 s)
 * @param sv sensitivity above ISO 100 in sixths, -6 (ISO 50) to 60 (ISO 102400)
 */
public record Exposure(int av, int tv, int sv) {

  private static final String[] F_THIRDS = {
    "1", "1.1", "1.2", "1.4", "1.6", "1.8", "2", "2.2", "2.5", "2.8", "3.2", "3.5", "4", "4.5", "5",
    "5.6", "6.3", "7.1", "8", "9", "10", "11", "13", "14", "16", "18", "20", "22", "25", "29", "32"
  };

  private static final String[] F_HALVES = {
    "1", "1.2", "1.4", "1.7", "2", "2.4", "2.8", "3.3", "4", "4.8", "5.6", "6.7", "8", "9.5", "11",
    "13", "16", "19", "22", "27", "32"
  };

  /** Marks from 30 s to 1/8000 s in thirds. */
  private static final String[] T_THIRDS = {
    "30", "25", "20", "15", "13", "10", "8", "6", "5", "4", "3.2", "2.5", "2", "1.6", "1.3", "1",
    "0.8", "0.6", "0.5", "0.4", "0.3", "1/4", "1/5", "1/6", "1/8", "1/10", "1/13", "1/15", "1/20",
    "1/25", "1/30", "1/40", "1/50", "1/60", "1/80", "1/100", "1/125", "1/160", "1/200", "1/250",
    "1/320", "1/400", "1/500", "1/640", "1/800", "1/1000", "1/1250", "1/1600", "1/2000", "1/2500",
    "1/3200", "1/4000", "1/5000", "1/6400", "1/8000"
  };

  private static final String[] T_HALVES = {
    "30", "20", "15", "10", "8", "6", "4", "3", "2", "1.5", "1", "0.7", "0.5", "0.3", "1/4", "1/6",
    "1/8", "1/10", "1/15", "1/20", "1/30", "1/45", "1/60", "1/90", "1/125", "1/180", "1/250",
    "1/350", "1/500", "1/750", "1/1000", "1/1500", "1/2000", "1/3000", "1/4000", "1/6000", "1/8000"
  };

  private static final int[] ISO_THIRDS = {
    50, 64, 80, 100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600, 2000, 2500,
    3200, 4000, 5000, 6400, 8000, 10000, 12800, 16000, 20000, 25600, 32000, 40000, 51200, 64000,
    80000, 102400
  };

  /** Checks the ranges. */
  public Exposure {
    if (av < 0 || av > 60) {
      throw new IllegalArgumentException(
          "aperture must be 0 to 60 sixths (f/1 to f/32), got " + av);
    }
    if (tv < -30 || tv > 78) {
      throw new IllegalArgumentException(
          "time must be -30 to 78 sixths (30 s to 1/8000), got " + tv);
    }
    if (sv < -6 || sv > 60) {
      throw new IllegalArgumentException("ISO must be -6 to 60 sixths over 100, got " + sv);
    }
  }

  /** Exposure value at ISO 100 of the settings: Av + Tv - log2(ISO/100). */
  public double ev100() {
    return (av + tv - sv) / 6.0;
  }

  /** Exact time in seconds. */
  public double seconds() {
    return StrictMath.pow(2, -tv / 6.0);
  }

  /** Exact sensitivity. */
  public double iso() {
    return 100 * StrictMath.pow(2, sv / 6.0);
  }

  /** The f-number as the dial and Exif mark it. */
  public String markedFNumber() {
    return av % 2 == 0 ? F_THIRDS[av / 2] : F_HALVES[av / 3];
  }

  /** The time as the dial and Exif mark it: seconds, or a fraction with numerator 1. */
  public String markedTime() {
    return tv % 2 == 0 ? T_THIRDS[(tv + 30) / 2] : T_HALVES[(tv + 30) / 3];
  }

  /** The sensitivity as the dial and Exif mark it. */
  public int markedIso() {
    if (sv % 2 != 0) {
      throw new IllegalStateException("these bodies mark ISO in thirds or whole stops, got " + sv);
    }
    return ISO_THIRDS[(sv + 6) / 2];
  }
}
