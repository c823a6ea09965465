package samelight.engine.report;

import java.math.BigDecimal;
import java.math.MathContext;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import samelight.engine.keepers.MustHave;
import samelight.engine.keepers.Take;
import samelight.engine.match.Match;
import samelight.engine.metadata.Category;
import samelight.engine.proof.MidTones;
import samelight.engine.report.ShootSummary.GroupLine;
import samelight.engine.timeline.BodyClock;

/** Figures in words, the same on the terminal and on the page. */
public final class Wording {
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("yyyy-MM-dd", Locale.ROOT);
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);
  private static final DateTimeFormatter MINUTE =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);

  private Wording() {}

  /** The time now, by this computer's clock. */
  public static String now() {
    return LocalDateTime.now(ZoneId.systemDefault()).format(MINUTE);
  }

  /** Such as {@code propose to leave out: similar to F0012.JPG, as sharp}. */
  public static String proposal(Take take) {
    String said = take.reason();
    String look = take.needsEyes();
    if (look.startsWith(said)) {
      said = look;
    } else if (!look.isEmpty()) {
      said += "; look: " + look;
    }
    return (take.keep() ? "propose to keep: " : "propose to leave out: ") + said;
  }

  /** Such as {@code grandmother with the couple, 2027-06-12 15:40 to 2027-06-12 15:55}. */
  public static String asked(MustHave must) {
    return must.text() + ", " + MINUTE.format(must.from()) + " to " + MINUTE.format(must.to());
  }

  /** Such as {@code +0.3}; {@code 0.0} without a sign where nothing is left of it. */
  static String signed(double stops) {
    return Math.abs(stops) < 0.05 ? "0.0" : String.format(Locale.ROOT, "%+.1f", stops);
  }

  /** Such as {@code 1 frame} or {@code 4,000 frames}. */
  public static String count(int n, String one) {
    return count(n, one, one + "s");
  }

  /** Such as {@code 1 body} or {@code 2 bodies}. */
  public static String count(int n, String one, String many) {
    return String.format(Locale.ROOT, "%,d %s", n, n == 1 ? one : many);
  }

  /**
   * Such as {@code 2027-06-12 10:28:46 to 12:22:47}; the day may be left out, and within one second
   * the end.
   */
  public static String span(
      @Nullable LocalDateTime from, @Nullable LocalDateTime to, boolean withDay) {
    if (from == null || to == null) {
      return "no time";
    }
    String begin = (withDay ? DAY.format(from) + " " : "") + TIME.format(from);
    if (from.withNano(0).equals(to.withNano(0))) {
      return begin;
    }
    boolean sameDay = from.toLocalDate().equals(to.toLocalDate());
    return begin + " to " + (sameDay ? "" : DAY.format(to) + " ") + TIME.format(to);
  }

  /** Such as {@code EV100 8.3 (39 cd/m²)}. */
  public static String light(GroupLine group) {
    var light = group.light();
    var luminance = group.luminance();
    if (light == null || luminance == null) {
      return "unknown";
    }
    return String.format(
        Locale.ROOT,
        "EV100 %.1f (%s cd/m²)",
        light.stops(),
        twoDigits(luminance.candelasPerSquareMetre()));
  }

  /**
   * The light in words, such as {@code open shade}, from scene light, colour temperature and flash.
   * Common practice, no source: the limits follow what light meters are marked with.
   *
   * <table>
   * <caption>From the first row that fits</caption>
   * <tr><th>flash</th><th>kelvin</th><th>EV100</th><th>words</th></tr>
   * <tr><td>on more than half</td><td>any</td><td>any</td><td>flash</td></tr>
   * <tr><td></td><td>below 3,600</td><td>12 and more; 4 and more; less</td>
   *     <td>low sun; lamplight; candlelight</td></tr>
   * <tr><td></td><td>below 4,700</td><td>10.5 and more; less</td>
   *     <td>warm sun; lamps and daylight</td></tr>
   * <tr><td></td><td>any</td><td>14.5 and more</td><td>sun</td></tr>
   * <tr><td></td><td>any</td><td>13 and more</td><td>veiled sun</td></tr>
   * <tr><td></td><td>6,000 and more; else</td><td>10.5 and more</td>
   *     <td>open shade; overcast or shade</td></tr>
   * <tr><td></td><td>any</td><td>7 and more</td><td>window light</td></tr>
   * <tr><td></td><td>any</td><td>3 and more; less</td><td>dim room; dusk</td></tr>
   * </table>
   */
  public static String lightWords(GroupLine group) {
    if (2 * group.flashFired() > group.frames().size()) {
      return "flash";
    }
    var light = group.light();
    if (light == null) {
      return "light unknown";
    }
    double ev = light.stops();
    var range = group.kelvin();
    double kelvin = range == null ? 5200 : range.median().value();
    if (kelvin < 3600) {
      return ev >= 12 ? "low sun" : ev >= 4 ? "lamplight" : "candlelight";
    }
    if (kelvin < 4700) {
      return ev >= 10.5 ? "warm sun" : "lamps and daylight";
    }
    if (ev >= 13) {
      return ev >= 14.5 ? "sun" : "veiled sun";
    }
    if (ev >= 10.5) {
      return kelvin >= 6000 ? "open shade" : "overcast or shade";
    }
    return ev >= 7 ? "window light" : ev >= 3 ? "dim room" : "dusk";
  }

  /** Such as {@code open shade, EV 11.8, 6,900 K}. */
  public static String lightLine(GroupLine group) {
    var light = group.light();
    var range = group.kelvin();
    return lightWords(group)
        + (light == null ? "" : String.format(Locale.ROOT, ", EV %.1f", light.stops()))
        + (range == null
            ? ""
            : String.format(Locale.ROOT, ", %,d K", tens(range.median().value())));
  }

  /** Such as {@code median 0.31, p95 0.84 stop}. */
  static String evenness(MidTones.Spread spread) {
    return Double.isNaN(spread.median())
        ? "unknown"
        : String.format(Locale.ROOT, "median %.2f, p95 %.2f stop", spread.median(), spread.p95());
  }

  /** Such as {@code 4,950 K (4,800 to 5,200)}. */
  public static String whiteBalance(GroupLine group) {
    var kelvin = group.kelvin();
    if (kelvin == null) {
      return "unknown";
    }
    long low = tens(kelvin.low().value());
    long high = tens(kelvin.high().value());
    String median = String.format(Locale.ROOT, "%,d K", tens(kelvin.median().value()));
    return low == high ? median : String.format(Locale.ROOT, "%s (%,d to %,d)", median, low, high);
  }

  /** Such as {@code ISO 100 to 1600}. */
  public static String iso(GroupLine group) {
    Double low = group.isoLow();
    Double high = group.isoHigh();
    if (low == null || high == null) {
      return "ISO unknown";
    }
    return low.equals(high)
        ? String.format(Locale.ROOT, "ISO %.0f", low)
        : String.format(Locale.ROOT, "ISO %.0f to %.0f", low, high);
  }

  /** Whether flash was used. */
  public static String flash(GroupLine group) {
    if (group.flashFired() == 0) {
      return "no flash";
    }
    return group.flashFired() == group.frames().size() ? "flash" : "flash on " + group.flashFired();
  }

  /** Largest less smallest match. */
  public static String spread(GroupLine group) {
    var spread = group.spread();
    return spread == null ? "unknown" : String.format(Locale.ROOT, "%.2f stops", spread.stops());
  }

  /** Such as {@code 7 by h2-8622, 3 by tern-8091}. */
  public static String perBody(GroupLine group) {
    StringBuilder text = new StringBuilder();
    group
        .framesPerBody()
        .forEach(
            (body, n) ->
                text.append(text.length() == 0 ? "" : ", ").append(n).append(" by ").append(body));
    return text.toString();
  }

  /** Such as {@code +0.33 ± 0.05 stop}. */
  public static String stops(Match match) {
    return String.format(
        Locale.ROOT, "%+.2f ± %.2f stop", match.stops().stops(), match.stopsSigma().stops());
  }

  /** Such as {@code -12 ± 3 mired}. */
  public static String mired(Match match) {
    return String.format(
        Locale.ROOT, "%+.0f ± %.0f mired", match.mired().value(), match.miredSigma().value());
  }

  /** One body: maker, model, serial, its clock. */
  public static String body(ShootSummary.BodyLine line) {
    BodyClock clock = line.clock();
    String serial = clock.body().serial();
    return String.format(
        Locale.ROOT,
        "%s: %s%s, %s, clock %+.1f s (%s)",
        clock.body().id(),
        (clock.body().make() + " " + clock.body().model()).strip(),
        serial == null ? "" : ", serial " + serial,
        count(line.frames(), "frame"),
        clock.offsetSeconds(),
        clockSource(clock));
  }

  /** How a clock offset is known. */
  public static String clockSource(BodyClock clock) {
    Double sigma = clock.sigmaSeconds();
    return switch (clock.source()) {
      case SHOOT -> "gives the shoot its time";
      case STATED -> "as stated";
      case PICTURES ->
          sigma == null
              ? "found from the pictures"
              : String.format(Locale.ROOT, "found from the pictures, ±%.0f s", sigma);
      case ZONE -> "by the cameras' time zones";
      case UNKNOWN ->
          "its own time, not aligned: name two frames of one moment to `samelight clock`";
    };
  }

  /** What files of a category are called in the account. */
  public static String category(Category category) {
    return switch (category) {
      case FRAME -> "frames";
      case PAIRED_JPEG -> "JPEGs of raw+JPEG pairs, listed by their raws";
      case VIDEO -> "video clips, not grouped";
      case COMPANION -> "companion files, not grouped";
      case SIDECAR -> "sidecars";
      case UNREADABLE -> "unreadable pictures";
      case OTHER -> "other files";
    };
  }

  /** A number with two significant digits. */
  static String twoDigits(double value) {
    BigDecimal rounded = BigDecimal.valueOf(value).round(new MathContext(2));
    return value >= 10
        ? String.format(Locale.ROOT, "%,d", rounded.longValue())
        : rounded.toPlainString();
  }

  private static long tens(double value) {
    return Math.round(value / 10) * 10;
  }
}
