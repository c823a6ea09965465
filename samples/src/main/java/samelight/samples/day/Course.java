package samelight.samples.day;

import java.util.Random;
import samelight.samples.light.Chromaticity;
import samelight.samples.light.Light;

/** The light of one place over time, in seconds since its act began. */
@FunctionalInterface
interface Course {

  Light at(double seconds);

  /** Lamps that only breathe: a hundredth of a stop. */
  static Course steady(Light light, Random r) {
    double phase = 6 * r.nextDouble();
    double period = 300 + 900 * r.nextDouble();
    return t -> light.brighter(0.01 * StrictMath.sin(phase + 2 * StrictMath.PI * t / period));
  }

  /** Daylight through a window: slow drift of a tenth of a stop or two. */
  static Course drifting(Light light, Random r) {
    double phase = 6 * r.nextDouble();
    double period = 1200 + 1500 * r.nextDouble();
    double depth = 0.06 + 0.1 * r.nextDouble();
    return t -> light.brighter(depth * StrictMath.sin(phase + 2 * StrictMath.PI * t / period));
  }

  /** Clouds before the sun: steps of half a stop to two stops within a few seconds. */
  static Course clouds(double ev, double sunKelvin, double cloudKelvin, double lasts, Random r) {
    int n = (int) (lasts / 60) + 8;
    double[] when = new double[n];
    double[] depth = new double[n];
    double[] ramp = new double[n];
    double t = -60 * r.nextDouble();
    boolean covered = r.nextBoolean();
    for (int i = 0; i < n; i++) {
      when[i] = t;
      depth[i] = covered ? 0.5 + 1.4 * r.nextDouble() : 0.05 * r.nextDouble();
      ramp[i] = 1.5 + 5 * r.nextDouble();
      t += covered ? 30 + 110 * r.nextDouble() : 50 + 160 * r.nextDouble();
      covered = !covered;
    }
    return s -> {
      double d = depth[0];
      for (int i = 1; i < n && when[i] - 20 < s; i++) {
        double share = 0.5 + 0.5 * StrictMath.tanh((s - when[i]) / ramp[i]);
        d += (depth[i] - d) * share;
      }
      double mired = 1e6 / sunKelvin + (1e6 / cloudKelvin - 1e6 / sunKelvin) * Math.min(1, d / 1.6);
      return Light.day(ev - d, 1e6 / mired);
    };
  }

  /** A sun going down: darker, faster at the end, and warmer. */
  static Course sunset(
      double fromEv, double toEv, double fromKelvin, double toKelvin, double lasts) {
    return t -> {
      double p = Math.max(0, Math.min(1.2, t / lasts));
      double mired = 1e6 / fromKelvin + (1e6 / toKelvin - 1e6 / fromKelvin) * p;
      return Light.day(fromEv + (toEv - fromEv) * (0.55 * p + 0.45 * p * p * p), 1e6 / mired);
    };
  }

  /** Warm lamps with coloured ones that change every few seconds. */
  static Course coloured(Light warm, Random r) {
    long seed = r.nextLong();
    return t -> {
      Random beat = new Random(seed + 31 * (long) StrictMath.floor(t / 7));
      beat.nextLong();
      double share = 0.05 + 0.17 * beat.nextDouble();
      Light hue = hue(beat.nextInt(3), warm.ev100() + Light.log2(share));
      return warm.plus(hue).brighter(0.25 * (beat.nextDouble() - 0.5));
    };
  }

  /** Light of a coloured lamp: rose, mint and blue, as pastel as filtered lamps are. */
  static Light hue(int which, double ev) {
    return switch (which) {
      case 0 -> new Light(ev, new Chromaticity(0.40, 0.27));
      case 1 -> new Light(ev, new Chromaticity(0.29, 0.37));
      default -> new Light(ev, new Chromaticity(0.24, 0.22));
    };
  }
}
