package samelight.engine.photometry;

import java.util.Arrays;
import java.util.EnumMap;
import java.util.Map;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.DoubleStream;

/**
 * The numbers that cameras mark for one exposure setting, and the exact steps behind them, on an
 * axis of stops. An exact step is the multiple of the set's step that is nearest to the mark.
 *
 * <p>Full and third marks as listed by [FULTON]; half and sixth marks: common practice, no source.
 */
final class MarkScale {
  /** Aperture, on the axis Av = 2 log2 N. */
  static final MarkScale APERTURE =
      new MarkScale(
          v -> 2 * ExposureValues.log2(v),
          s -> Math.pow(2, s / 2),
          marks(0.7, 1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22, 32, 45, 64, 90),
          marks(1.2, 1.7, 2.4, 2.5, 3.3, 3.5, 4.5, 4.8, 6.7, 9.5, 13, 19, 27, 38, 54),
          marks(
              0.8, 0.9, 1.1, 1.2, 1.6, 1.8, 2.2, 2.5, 3.2, 3.5, 4.5, 5, 6.3, 7.1, 9, 10, 13, 14, 18,
              20, 25, 29, 36, 40, 51, 57),
          marks());

  /** Exposure time in seconds, on the axis Tv = -log2 t. */
  static final MarkScale TIME =
      new MarkScale(
          v -> -ExposureValues.log2(v),
          s -> Math.pow(2, -s),
          marks(
              concat(
                  seconds(900, 480, 240, 120, 60, 30, 15, 8, 4, 2, 1),
                  fractions(
                      2, 4, 8, 15, 30, 60, 125, 250, 500, 1000, 2000, 4000, 8000, 16000, 32000,
                      64000))),
          marks(
              concat(
                  seconds(20, 10, 6, 3, 1.5, 0.7),
                  fractions(3, 6, 10, 20, 45, 90, 180, 350, 750, 1500, 3000, 6000, 12000))),
          marks(
              concat(
                  seconds(50, 40, 25, 20, 13, 10, 6, 5, 3.2, 2.5, 1.6, 1.3, 0.8, 0.6, 0.4, 0.3),
                  fractions(
                      1.3, 1.6, 3, 5, 6, 10, 13, 20, 25, 40, 50, 80, 100, 160, 200, 320, 400, 640,
                      800, 1250, 1600, 2500, 3200, 5000, 6400, 10000, 12800, 13000, 20000, 25000,
                      25600, 40000, 51200))),
          marks());

  /** Sensitivity, on the axis log2(S/100). */
  static final MarkScale ISO =
      new MarkScale(
          v -> ExposureValues.log2(v / 100),
          s -> 100 * Math.pow(2, s),
          marks(
              6, 12, 25, 50, 100, 200, 400, 800, 1600, 3200, 6400, 12500, 12800, 25600, 51200,
              102400, 204800, 409600, 819200, 1638400, 3276800),
          marks(35, 70, 140, 280, 560, 1100, 2200, 4500, 9000, 18000, 36000, 72000, 144000),
          marks(
              8, 10, 16, 20, 32, 40, 64, 80, 125, 160, 250, 320, 500, 640, 1000, 1250, 2000, 2500,
              4000, 5000, 8000, 10000, 16000, 20000, 32000, 40000, 64000, 80000, 128000, 160000,
              256000, 320000, 512000, 640000),
          marks(
              56, 72, 90, 110, 180, 220, 360, 450, 720, 900, 1400, 1800, 2800, 3600, 5600, 7200,
              11400, 14400, 22800, 28800, 45600, 57600));

  /** How far a number may lie from a mark or an exact step to be taken for it: 0.6 % of light. */
  private static final double TOLERANCE = 0.009;

  private final DoubleUnaryOperator toStops;
  private final DoubleUnaryOperator fromStops;
  private final Map<StepSet, double[]> sets = new EnumMap<>(StepSet.class);

  private MarkScale(
      DoubleUnaryOperator toStops,
      DoubleUnaryOperator fromStops,
      double[] full,
      double[] half,
      double[] third,
      double[] sixth) {
    this.toStops = toStops;
    this.fromStops = fromStops;
    sets.put(StepSet.FULL, full);
    sets.put(StepSet.HALF, concat(full, half));
    sets.put(StepSet.THIRD, concat(full, third));
    sets.put(StepSet.SIXTH, concat(full, half, third, sixth));
    sets.values()
        .forEach(
            marks -> {
              for (int i = 0; i < marks.length; i++) {
                marks[i] = toStops.applyAsDouble(marks[i]);
              }
              Arrays.sort(marks);
            });
  }

  /** Where a value lies on the axis of stops. */
  double stops(double mark) {
    return toStops.applyAsDouble(mark);
  }

  /** The value at a place on the axis of stops. */
  double value(double stops) {
    return fromStops.applyAsDouble(stops);
  }

  /**
   * The exact step behind a mark, in stops, or not a number where the mark isn't one of the set's.
   * A camera that writes the exact value itself is understood as well.
   */
  double exactStops(StepSet set, double mark) {
    double[] marks = sets.get(set);
    if (marks == null) {
      return Double.NaN;
    }
    double at = stops(mark);
    double step = Math.rint(at * set.perStop()) / set.perStop();
    int i = Arrays.binarySearch(marks, at - TOLERANCE);
    i = i < 0 ? -i - 1 : i;
    if (i < marks.length && marks[i] <= at + TOLERANCE) {
      return step;
    }
    boolean inRange = at >= marks[0] - TOLERANCE && at <= marks[marks.length - 1] + TOLERANCE;
    return inRange && Math.abs(at - step) <= TOLERANCE ? step : Double.NaN;
  }

  private static double[] marks(double... values) {
    return values;
  }

  private static double[] seconds(double... values) {
    return values;
  }

  private static double[] fractions(double... denominators) {
    return DoubleStream.of(denominators).map(d -> 1 / d).toArray();
  }

  private static double[] concat(double[]... parts) {
    return Arrays.stream(parts).flatMapToDouble(Arrays::stream).toArray();
  }
}
