package samelight.engine.sidecar;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.apache.commons.math3.stat.regression.SimpleRegression;
import samelight.engine.sidecar.NumberProperty.Unit;

/**
 * Finds how an editor's number follows a quantity, by least squares: the number itself, an affine
 * relation, or a logarithmic or exponential one. Two points can't show that a relation is straight:
 * they are enough only where the number is the quantity itself.
 */
final class NumberFit {
  /** Relative misfit that rounding inside an editor may leave. */
  private static final double SLACK = 0.004;

  /**
   * A number at a stated quantity.
   *
   * @param quantity stops, kelvin or Duv
   * @param number the editor's number
   * @param half half a unit of its last decimal
   */
  record Point(double quantity, double number, double half) {}

  /** A relation and its unit. */
  record Fit(Unit unit, Relation relation) {
    /** The quantity in this unit, of a stated quantity in stops, kelvin or Duv. */
    double quantity(double stated) {
      return unit == Unit.MIRED ? 1e6 / stated : stated;
    }

    String words() {
      String name = unit.name().toLowerCase(Locale.ROOT);
      if (relation.equals(Relation.IDENTITY)) {
        return "in " + name;
      }
      return String.format(
          Locale.ROOT,
          "%s in %s, scale %.6g, offset %.6g",
          relation.kind().name().toLowerCase(Locale.ROOT),
          name,
          relation.scale(),
          relation.offset());
    }
  }

  /** No relation fits; the message says why. */
  static final class NoFitException extends Exception {
    NoFitException(String message) {
      super(message);
    }
  }

  private NumberFit() {}

  static Fit of(Unit unit, List<Point> points) throws NoFitException {
    List<Fit> plain = new ArrayList<>();
    plain.add(new Fit(unit, Relation.IDENTITY));
    if (unit == Unit.KELVIN) {
      plain.add(new Fit(Unit.MIRED, Relation.IDENTITY));
    }
    for (Fit f : plain) {
      if (points.size() >= 2 && fits(f, points)) {
        return f;
      }
    }
    if (distinct(points) < 3) {
      throw new NoFitException(
          "two values don't tell how the number follows; give a second step of another size");
    }
    List<Fit> all = new ArrayList<>();
    add(all, unit, Relation.Kind.AFFINE, points);
    if (unit == Unit.KELVIN) {
      add(all, Unit.MIRED, Relation.Kind.AFFINE, points);
      add(all, unit, Relation.Kind.LOGARITHMIC, points);
    } else if (unit == Unit.STOPS) {
      add(all, unit, Relation.Kind.EXPONENTIAL, points);
    }
    all.removeIf(f -> !fits(f, points));
    if (all.isEmpty()) {
      throw new NoFitException("it follows neither in a straight line nor by logarithm");
    }
    Fit best = all.get(0);
    for (Fit f : all) {
      if (misfit(f, points) < misfit(best, points) * 0.5) {
        best = f;
      }
    }
    return best;
  }

  private static long distinct(List<Point> points) {
    return points.stream().mapToDouble(Point::quantity).distinct().count();
  }

  private static void add(List<Fit> all, Unit unit, Relation.Kind kind, List<Point> points) {
    SimpleRegression line = new SimpleRegression();
    for (Point p : points) {
      double q = unit == Unit.MIRED ? 1e6 / p.quantity() : p.quantity();
      double x = kind == Relation.Kind.LOGARITHMIC ? log2(q) : q;
      double y = kind == Relation.Kind.EXPONENTIAL ? log2(p.number()) : p.number();
      if (!Double.isFinite(x) || !Double.isFinite(y)) {
        return;
      }
      line.addData(x, y);
    }
    double scale = tidy(line.getSlope());
    double offset = tidy(line.getIntercept());
    if (Double.isFinite(scale) && scale != 0 && Double.isFinite(offset)) {
      all.add(new Fit(unit, new Relation(kind, scale, offset)));
    }
  }

  /** Constants as a person would write them, where that is within what was measured. */
  private static double tidy(double constant) {
    for (double step : new double[] {1, 0.1, 0.01, 0.001, 1e-4, 1e-5, 1e-6}) {
      double near = Math.rint(constant / step) * step;
      if (Math.abs(near - constant) <= Math.abs(constant) * 1e-4 + 1e-9) {
        return Double.parseDouble(String.format(Locale.ROOT, "%.6f", near)) + 0.0; // no -0
      }
    }
    return constant;
  }

  private static boolean fits(Fit f, List<Point> points) {
    return misfit(f, points) <= 1;
  }

  /** Largest misfit, in units of what rounding may leave. */
  private static double misfit(Fit f, List<Point> points) {
    double low = points.stream().mapToDouble(Point::number).min().orElse(0);
    double high = points.stream().mapToDouble(Point::number).max().orElse(0);
    double worst = 0;
    for (Point p : points) {
      double expected;
      try {
        expected = f.relation().number(f.quantity(p.quantity()));
      } catch (IllegalArgumentException e) {
        return Double.POSITIVE_INFINITY;
      }
      double allowed = p.half() * 1.01 + SLACK * (high - low);
      worst = Math.max(worst, Math.abs(expected - p.number()) / allowed);
    }
    return worst;
  }

  private static double log2(double x) {
    return Math.log(x) / Math.log(2);
  }
}
