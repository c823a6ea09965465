package samelight.samples.day;

import java.util.List;
import java.util.Random;
import java.util.Set;
import samelight.samples.day.Act.Cast;
import samelight.samples.day.Act.Mode;
import samelight.samples.day.Act.Other;
import samelight.samples.day.Act.Preset;
import samelight.samples.day.Act.Shift;
import samelight.samples.day.Act.View;
import samelight.samples.light.Light;
import samelight.samples.picture.Place;

/** The acts of one day and the light in them. A seed changes the weather, not the plot. */
final class Script {

  private static final int F2 = 12;
  private static final int F2_8 = 18;
  private static final int F4 = 24;
  private static final int F5_6 = 30;
  private static final int S125 = 42;
  private static final int S160 = 44;
  private static final int S320 = 50;
  private static final int S1000 = 60;

  private Script() {}

  /**
   * The acts.
   *
   * @param frames of the whole day: a busier day lasts longer
   * @param third whether a third body joins for drinks and dancing
   */
  static List<Act> acts(Random r, Set<Trouble> troubles, int frames, boolean third) {
    double lampDuv = troubles.contains(Trouble.DUV) ? 0.009 : 0;
    double pinkDuv = troubles.contains(Trouble.DUV) ? -0.007 : 0;
    double pace = 5.0 * frames;

    Light day = Light.day(7.4 + jitter(r, 0.5), 5600 + jitter(r, 400));
    View window = new View(Place.LOFT_WINDOWS, Course.drifting(day, r), constant(day));
    Light lamp = Light.lamp(5.6 + jitter(r, 0.4), 2950 + jitter(r, 120), 0);
    View room = new View(Place.LOFT_LAMP, Course.steady(lamp, r), constant(lamp));

    Light bulb = Light.lamp(6.2 + jitter(r, 0.4), 3300 + jitter(r, 150), 0);
    View boats = new View(Place.BOATHOUSE, Course.steady(bulb, r), constant(Light.day(6.4, 4600)));

    double walkLasts = 420 + 0.10 * pace;
    View walk =
        plain(Place.LIME_WALK, Course.clouds(12.4 + jitter(r, 0.5), 5200, 6600, walkLasts, r));

    Light spots = Light.lamp(7.0 + jitter(r, 0.4), 3200 + jitter(r, 150), pinkDuv);
    Light high = Light.day(7.7 + jitter(r, 0.4), 5300 + jitter(r, 300));
    View arch = new View(Place.BARN_ARCH, Course.steady(spots, r), constant(spots));
    View guests =
        new View(
            Place.BARN_GUESTS,
            Course.drifting(high.brighter(-0.6).plus(spots.brighter(-2.2)), r),
            constant(high));

    View yard =
        plain(
            Place.COURTYARD,
            Course.drifting(Light.day(11.1 + jitter(r, 0.5), 7100 + jitter(r, 400)), r));
    double drinksLasts = 420 + 0.09 * pace;
    View terrace =
        plain(Place.TERRACE, Course.clouds(13.6 + jitter(r, 0.4), 5100, 6300, drinksLasts, r));

    View table =
        plain(
            Place.TABLE,
            Course.steady(Light.lamp(5.4 + jitter(r, 0.4), 2850 + jitter(r, 120), lampDuv), r));

    double lakeLasts = 900 + 0.11 * pace;
    View lake =
        plain(
            Place.LAKE,
            Course.sunset(
                11.6 + jitter(r, 0.4),
                8.7 + jitter(r, 0.4),
                4700,
                3300 + jitter(r, 250),
                lakeLasts));

    Light candles = Light.lamp(4.4 + jitter(r, 0.3), 2750 + jitter(r, 120), lampDuv);
    View hall = new View(Place.HALL, Course.steady(candles, r), constant(candles));

    Light warm = Light.lamp(3.6 + jitter(r, 0.3), 2900 + jitter(r, 150), 0);
    View floor = new View(Place.DANCE_FLOOR, Course.coloured(warm, r), Script::wash);
    Light shelf = Light.lamp(4.5 + jitter(r, 0.3), 2700 + jitter(r, 120), 0);
    View bar = new View(Place.BAR, Course.steady(shelf, r), constant(shelf));

    int slowBarn = troubles.contains(Trouble.FLICKER) ? S320 : S125;
    int slowBar = troubles.contains(Trouble.BANDED) ? S1000 : S125;
    int guest = third ? 2 : 1;
    return List.of(
        new Act(
            "getting-ready",
            0,
            300 + 0.12 * pace,
            List.of(
                new Shift(
                    0,
                    13,
                    List.of(window, room),
                    Mode.APERTURE_PRIORITY,
                    null,
                    F2,
                    S125,
                    Cast.BRIDE_DRESSING,
                    Trouble.MIXED),
                new Shift(
                    1,
                    8,
                    List.of(boats),
                    Mode.MANUAL,
                    null,
                    F2_8,
                    S125,
                    Cast.GROOM_DRESSING,
                    null))),
        new Act(
            "lime-walk",
            600,
            walkLasts,
            List.of(
                new Shift(
                    0,
                    6,
                    List.of(walk),
                    Mode.MANUAL,
                    null,
                    F2_8,
                    S320,
                    Cast.COUPLE,
                    Trouble.BACKLIGHT),
                new Shift(
                    1,
                    5,
                    List.of(walk),
                    Mode.APERTURE_PRIORITY,
                    null,
                    F4,
                    S160,
                    Cast.COUPLE,
                    Trouble.BACKLIGHT))),
        new Act(
            "vows",
            900,
            420 + 0.13 * pace,
            List.of(
                new Shift(
                    0,
                    10,
                    List.of(arch, guests),
                    Mode.MANUAL,
                    null,
                    F2_8,
                    slowBarn,
                    Cast.COUPLE,
                    Trouble.FLICKER),
                new Shift(
                    1,
                    8,
                    List.of(guests, arch),
                    Mode.MANUAL,
                    new Preset(4200, 255),
                    F2,
                    slowBarn,
                    Cast.GUESTS,
                    Trouble.FLICKER))),
        new Act(
            "families",
            420,
            drinksLasts,
            List.of(
                new Shift(
                    0,
                    9,
                    List.of(yard),
                    Mode.MANUAL,
                    new Preset(6500, 10),
                    F5_6,
                    S160,
                    Cast.FAMILY,
                    null),
                new Shift(
                    guest,
                    6,
                    List.of(terrace),
                    Mode.APERTURE_PRIORITY,
                    null,
                    F4,
                    S160,
                    Cast.GUESTS,
                    Trouble.BACKLIGHT))),
        new Act(
            "laid-table",
            600,
            240 + 0.04 * pace,
            List.of(
                new Shift(
                    1,
                    4,
                    List.of(table),
                    Mode.MANUAL,
                    new Preset(2850, 3),
                    F2_8,
                    S125,
                    Cast.THINGS,
                    Trouble.DUV))),
        new Act(
            "lake",
            1200,
            lakeLasts,
            List.of(
                new Shift(
                    0,
                    11,
                    List.of(lake),
                    Mode.MANUAL,
                    null,
                    F2,
                    S160,
                    Cast.COUPLE,
                    Trouble.FILTER))),
        new Act(
            "speeches",
            1500,
            420 + 0.1 * pace,
            List.of(
                new Shift(
                    0, 6, List.of(hall), Mode.FLASH, null, F2_8, S125, Cast.GUESTS, Trouble.DUV),
                new Shift(
                    1, 6, List.of(hall), Mode.FLASH, null, F4, S125, Cast.GUESTS, Trouble.DUV))),
        new Act(
            "dancing",
            1800,
            420 + 0.12 * pace,
            List.of(
                new Shift(0, 8, List.of(floor), Mode.FLASH, null, F2_8, S125, Cast.DANCERS, null),
                new Shift(
                    guest,
                    7,
                    List.of(floor, bar),
                    Mode.MANUAL,
                    null,
                    F2,
                    slowBar,
                    Cast.DANCERS,
                    Trouble.BANDED))));
  }

  private static View plain(Place place, Course light) {
    return new View(place, light, (t, framing) -> light.at(t));
  }

  private static Other constant(Light light) {
    return (t, framing) -> light;
  }

  /** Pools of colour on the dance floor: a new one for each framing. */
  private static Light wash(double seconds, long framing) {
    Random r = new Random(framing * 7349 + 11);
    r.nextLong();
    Light a = Course.hue(r.nextInt(3), 3.4 + r.nextDouble());
    return a.plus(Light.lamp(2.6 + r.nextDouble(), 3000, 0));
  }

  private static double jitter(Random r, double range) {
    return range * (2 * r.nextDouble() - 1);
  }
}
