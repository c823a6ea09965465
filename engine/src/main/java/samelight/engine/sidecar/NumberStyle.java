package samelight.engine.sidecar;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * How a number is written: as the raw editor wrote it on the reference, but never so coarsely that
 * the compensation is lost.
 *
 * @param decimals digits behind the point
 * @param plus whether positive numbers bear a + sign
 */
record NumberStyle(int decimals, boolean plus) {
  /** Real of XMP (ISO 16684-1, 8.2.1.4): optional sign, digits, optional point. */
  private static final Pattern REAL = Pattern.compile("[+-]?(\\d+(\\.\\d*)?|\\.\\d+)");

  private static final int MAX_DECIMALS = 12;

  /** The number that a text says, or null where it says none. */
  static @Nullable Double parse(String text) {
    String t = text.strip();
    return t.length() <= 40 && REAL.matcher(t).matches() ? Double.valueOf(t) : null;
  }

  /** The style of a number as text, with at least some decimals. */
  static NumberStyle of(@Nullable String text, int atLeast) {
    if (text == null) {
      return new NumberStyle(atLeast, false);
    }
    String t = text.strip();
    int point = t.indexOf('.');
    int decimals = point < 0 ? 0 : t.length() - point - 1;
    return new NumberStyle(Math.min(MAX_DECIMALS, Math.max(decimals, atLeast)), t.startsWith("+"));
  }

  String format(double number) {
    BigDecimal d = BigDecimal.valueOf(number).setScale(decimals, RoundingMode.HALF_UP);
    boolean sign = plus && d.signum() >= 0;
    return (sign ? "+" : "") + (d.signum() == 0 ? d.abs() : d).toPlainString();
  }

  /** Half a unit of the last decimal: numbers closer than that are written alike. */
  double half() {
    return 0.5 * Math.pow(10, -decimals);
  }
}
