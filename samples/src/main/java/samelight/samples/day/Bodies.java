package samelight.samples.day;

import java.util.List;
import java.util.Random;
import samelight.samples.camera.Body;
import samelight.samples.camera.Lens;
import samelight.samples.camera.Sensor;
import samelight.samples.camera.ToneCurve;
import samelight.samples.light.Matrix3;

/** The invented cameras of the day, their clocks and moods drawn from the seed. */
final class Bodies {

  private static final Sensor HALVREN =
      new Sensor(
          Matrix3.of(0.782, -0.284, -0.031, -0.402, 1.196, 0.232, -0.041, 0.132, 0.618),
          Matrix3.of(0.684, -0.191, -0.062, -0.431, 1.214, 0.241, -0.071, 0.161, 0.552));
  private static final Sensor MORROWICK =
      new Sensor(
          Matrix3.of(0.864, -0.352, -0.018, -0.374, 1.152, 0.250, -0.022, 0.118, 0.668),
          Matrix3.of(0.752, -0.248, -0.047, -0.398, 1.172, 0.258, -0.054, 0.149, 0.604));

  private Bodies() {}

  static List<Body> of(long seed, int count, boolean offProfile) {
    Random r = new Random(seed * 31 + 17);
    r.nextLong();
    double[] errors = {-3600, 3600, 0, 0};
    double offset = errors[r.nextInt(4)] + (r.nextBoolean() ? 1 : -1) * (40 + 260 * r.nextDouble());
    Body first =
        new Body(
            "A",
            "Halvren",
            "H2",
            "HV" + (400000 + r.nextInt(99999)),
            "ines",
            "HLV_",
            4801,
            2,
            0,
            1.5 * r.nextGaussian(),
            HALVREN,
            HALVREN,
            new ToneCurve(1.08 + 0.1 * r.nextDouble()),
            0,
            0,
            "+02:00",
            2,
            List.of(
                new Lens("Halvren 35 mm 1:1.4", 35, 6, 0),
                new Lens("Halvren 85 mm 1:1.8", 85, 10, 0.45)));
    Body second =
        new Body(
            "B",
            "Morrowick",
            "Tern",
            "T7-" + (10000 + r.nextInt(89999)),
            "tomke",
            "MTN_",
            9921,
            2,
            0.22 * (2 * r.nextDouble() - 1),
            8 + 8 * r.nextDouble(),
            MORROWICK,
            offProfile ? MORROWICK.misread(11) : MORROWICK,
            new ToneCurve(1.22 + 0.14 * r.nextDouble()),
            offset,
            0.5 + r.nextDouble(),
            "",
            3,
            List.of(
                new Lens("Kettle 50/1.8", 50, 10, 0), new Lens("Kettle 24-70/2.8", 60, 18, 0.3)));
    Body third =
        new Body(
            "C",
            "Halvren",
            "H1s",
            "HS" + (100000 + r.nextInt(99999)),
            "spare",
            "HS1_",
            1204,
            3,
            0.15 * (2 * r.nextDouble() - 1),
            -6 + 4 * r.nextDouble(),
            HALVREN,
            HALVREN,
            new ToneCurve(1.0 + 0.08 * r.nextDouble()),
            -3600 + 20 * r.nextDouble(),
            0.2 * r.nextDouble(),
            "+01:00",
            2,
            List.of(
                new Lens("Halvren 50 mm 1:2", 50, 12, 0),
                new Lens("Halvren 85 mm 1:1.8", 85, 10, 0.45)));
    return List.of(first, second, third).subList(0, count);
  }
}
