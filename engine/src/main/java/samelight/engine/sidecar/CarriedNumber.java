package samelight.engine.sidecar;

import org.jspecify.annotations.Nullable;
import samelight.engine.files.RefusedInputException;

/**
 * A number that is compensated, as the reference has it.
 *
 * @param property the property
 * @param text how the reference writes it, or null where it doesn't
 * @param quantity the quantity on the reference, or null where it has none
 * @param style how it is written on other frames
 */
record CarriedNumber(
    NumberProperty property, @Nullable String text, @Nullable Double quantity, NumberStyle style) {
  /** Touches smaller than this are an editor's rounding: stops, mired, Duv. */
  private static final double TOUCH_STOPS = 0.006;

  private static final double TOUCH_MIRED = 0.6;
  private static final double TOUCH_DUV = 0.0002;

  /**
   * Reads a number on the reference.
   *
   * @throws RefusedInputException if it is there but isn't a number
   */
  static CarriedNumber read(String sidecar, XmpPacket packet, NumberProperty property)
      throws XmpRefusedException {
    XmpValue value = property.place().in(packet);
    if (value == null) {
      Double absent = property.absent();
      Double quantity = absent == null ? null : property.relationOrIdentity().quantity(absent);
      return new CarriedNumber(property, null, quantity, style(property, null, quantity));
    }
    Double number = value.simple() ? NumberStyle.parse(value.text()) : null;
    if (number == null) {
      throw new RefusedInputException(
          sidecar,
          property.place() + " must be a number (XMP Real)",
          value.simple() ? "\"" + shorten(value.text()) + "\"" : "a structure or an array",
          "Nothing was written; check the edit map");
    }
    try {
      double quantity = property.relationOrIdentity().quantity(number);
      return new CarriedNumber(
          property, value.text(), quantity, style(property, value.text(), quantity));
    } catch (IllegalArgumentException e) {
      throw new RefusedInputException(
          sidecar,
          property.place() + " must be what the edit map says it is",
          String.valueOf(e.getMessage()),
          "Nothing was written; check the relation in the edit map",
          e);
    }
  }

  private static String shorten(String text) {
    return text.length() <= 60 ? text : text.substring(0, 60) + "...";
  }

  private static NumberStyle style(
      NumberProperty property, @Nullable String text, @Nullable Double quantity) {
    String example = text == null ? property.example() : text;
    if (quantity == null) {
      return NumberStyle.of(example, 0);
    }
    boolean whole = example != null && example.indexOf('.') < 0;
    double step = finest(property.unit(), quantity, whole);
    Relation r = property.relationOrIdentity();
    double resolution = Math.abs(r.number(quantity + step) - r.number(quantity));
    int decimals = (int) Math.ceil(-Math.log10(resolution) - 1e-6);
    if (whole && decimals > 0) {
      double fine = finest(property.unit(), quantity, false);
      resolution = Math.abs(r.number(quantity + fine) - r.number(quantity));
      decimals = (int) Math.ceil(-Math.log10(resolution) - 1e-6);
    }
    return NumberStyle.of(example, Math.max(0, Math.min(9, decimals)));
  }

  /**
   * The step that must still be written. Whole numbers stay whole where a unit of theirs is no more
   * than a tenth of a stop or 4 mired: the editor has no finer ones itself.
   */
  private static double finest(NumberProperty.Unit unit, double quantity, boolean whole) {
    return switch (unit) {
      case STOPS -> whole ? 0.1 : 0.01;
      case KELVIN -> (whole ? 4 : 1) * quantity * quantity / 1e6;
      case MIRED -> whole ? 4 : 1;
      case DUV -> whole ? 0.002 : 0.0005;
    };
  }

  /** The text for a quantity, clamped to what the editor takes. */
  String format(double quantity) {
    return style.format(clamp(property.relationOrIdentity().number(quantity)));
  }

  /** Whether the editor doesn't take the number for a quantity. */
  boolean beyond(double quantity) {
    double number = property.relationOrIdentity().number(quantity);
    return Math.abs(clamp(number) - number) > style.half();
  }

  private double clamp(double number) {
    double n = number;
    if (property.min() != null) {
      n = Math.max(n, property.min());
    }
    if (property.max() != null) {
      n = Math.min(n, property.max());
    }
    return n;
  }

  /** The quantity of a number as text. */
  double quantity(double number) {
    return property.relationOrIdentity().quantity(number);
  }

  /** What a hand added: in stops, mired or Duv. */
  double touch(double current, double last) {
    return metric(quantity(current)) - metric(quantity(last));
  }

  /** Whether a touch is more than rounding. */
  boolean real(double touch) {
    double least =
        switch (property.unit()) {
          case STOPS -> TOUCH_STOPS;
          case KELVIN, MIRED -> TOUCH_MIRED;
          case DUV -> TOUCH_DUV;
        };
    return Math.abs(touch) > least;
  }

  /** A carried number with a touch added. */
  String touched(String carried, double touch) {
    double number = Double.parseDouble(carried);
    double moved = metric(quantity(number)) + touch;
    if (property.unit() == NumberProperty.Unit.KELVIN) {
      moved = 1e6 / Math.max(1, moved);
    }
    return format(moved);
  }

  /** A touch in words. */
  String words(double touch) {
    return switch (property.unit()) {
      case STOPS -> String.format(java.util.Locale.ROOT, "%+.2f EV", touch);
      case KELVIN, MIRED -> String.format(java.util.Locale.ROOT, "%+.0f mired", touch);
      case DUV -> String.format(java.util.Locale.ROOT, "%+.4f Duv", touch);
    };
  }

  private double metric(double quantity) {
    return property.unit() == NumberProperty.Unit.KELVIN ? 1e6 / quantity : quantity;
  }
}
