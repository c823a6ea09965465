package samelight.samples.day;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import samelight.samples.camera.Body;
import samelight.samples.camera.Exposure;
import samelight.samples.camera.Lens;
import samelight.samples.day.Act.Mode;
import samelight.samples.day.Act.View;
import samelight.samples.light.Krystek1985;
import samelight.samples.light.Light;
import samelight.samples.light.MainsFlicker;
import samelight.samples.picture.Composition;
import samelight.samples.picture.Renderer;

/** One photographer in one act: framings, bursts, dials, meter, white balance, flash. */
final class Photographer {

  private static final double BACKLIGHT_STOPS = 2;
  private static final int FILTER_STOPS = 3;
  private static final MainsFlicker MAINS = new MainsFlicker(100, 0.45);
  private static final double FLASH_KELVIN = 5300;

  /** Share of a flash's light that reaches what is behind the subject. */
  private static final double FLASH_BEHIND = 0.35;

  /** Percent of the flashes within 1.4 s of another that a weak unit fails to give. */
  private static final int WEAK_FAILS = 40;

  private final Body body;
  private final int day;
  private final Act act;
  private final Act.Shift shift;
  private final double start;
  private final Casting casting;
  private final Set<Trouble> troubles;
  private final boolean brackets;
  private final Random r;
  private final Renderer meter = new Renderer(60, 40);
  private final Map<View, Integer> dials = new HashMap<>();
  private final List<Shot> shots = new ArrayList<>();
  private int framing;
  private View view;
  private double lastFlash = -100;
  private int correction;

  Photographer(
      Body body,
      int day,
      Act act,
      Act.Shift shift,
      double start,
      Casting casting,
      Set<Trouble> troubles,
      boolean brackets,
      long seed,
      long firstFraming) {
    this.body = body;
    this.day = day;
    this.act = act;
    this.shift = shift;
    this.start = start;
    this.casting = casting;
    this.troubles = troubles;
    this.brackets = brackets;
    r = new Random(seed);
    framing = (int) firstFraming;
    view = shift.views().get(0);
  }

  List<Shot> shoot(int frames) {
    List<Integer> bursts = new ArrayList<>();
    int left = frames;
    boolean bracket = brackets && shift.cast() == Act.Cast.THINGS && frames >= 4;
    int[] steps = frames >= 8 ? new int[] {0, -12, -6, 6, 12} : new int[] {0, -12, 12};
    if (bracket) {
      left -= steps.length;
    }
    while (left > 0) {
      int n =
          Math.min(
              left, r.nextInt(3) == 0 ? 1 : 2 + (int) (-2.2 * StrictMath.log(1 - r.nextDouble())));
      n = Math.min(n, 9);
      bursts.add(n);
      left -= n;
    }
    double[] when = new double[bursts.size() + (bracket ? 1 : 0)];
    for (int i = 0; i < when.length; i++) {
      when[i] = act.leastSeconds() * 0.95 * r.nextDouble();
    }
    Arrays.sort(when);
    double free = 0;
    for (int i = 0; i < when.length; i++) {
      double t = Math.max(free, when[i]);
      if (bracket && i == when.length / 2) {
        free = bracket(t, steps);
        bursts.add(i, 0);
      } else {
        free = burst(t, bursts.get(i), when.length == 1 ? 0.5 : i / (when.length - 1.0));
      }
      free += 0.8 + 1.2 * r.nextDouble();
    }
    return shots;
  }

  /** A framing: one composition, a few frames of it. Returns when it ended. */
  private double burst(double t, int frames, double through) {
    if (shift.views().size() > 1 && r.nextInt(5) == 0) {
      view = shift.views().get(view.equals(shift.views().get(0)) ? 1 : 0);
    }
    framing++;
    Set<Trouble> here = EnumSet.noneOf(Trouble.class);
    boolean backlit = happens(Trouble.BACKLIGHT, 0.3, here);
    double mixed = happens(Trouble.MIXED, 0.35, here) ? 0.15 + 0.7 * r.nextDouble() : 0;
    Lens lens = body.lenses().get(0);
    if (shift.mode() != Mode.FLASH && troubles.contains(Trouble.LENS) && r.nextInt(10) < 3) {
      lens = body.lenses().get(1);
      here.add(Trouble.LENS);
    }
    boolean filter = through > 0.35 && through < 0.7 && happens(Trouble.FILTER, 1, here);
    Composition composition = casting.compose(view.place(), shift.cast(), r);
    int bias = r.nextInt(10) < 6 ? 0 : body.step() * (r.nextInt(3) - 1);
    double whiteError = 8.5 * r.nextGaussian();
    double flashError = 0.24 * r.nextGaussian();
    boolean fast = r.nextInt(3) > 0;
    double at = t;
    for (int i = 0; i < frames; i++) {
      Composition c = i == 0 ? composition : composition.moved(r, fast ? 0.004 : 0.012);
      Frame f =
          new Frame(
              at,
              c,
              lens,
              backlit,
              mixed,
              filter ? FILTER_STOPS : 0,
              EnumSet.noneOf(Trouble.class));
      f.troubles.addAll(here);
      expose(f, i, bias);
      shots.add(f.shot(whiteError, flashError, null));
      at += fast ? 0.13 + 0.25 * r.nextDouble() : 0.7 + 1.1 * r.nextDouble();
    }
    return at;
  }

  /** A few frames of one composition, two stops under to two over, in the blink of an eye. */
  private double bracket(double t, int[] steps) {
    framing++;
    Composition c = casting.compose(view.place(), shift.cast(), r);
    Frame middle =
        new Frame(t, c, body.lenses().get(0), false, 0, 0, EnumSet.noneOf(Trouble.class));
    expose(middle, 0, 0);
    double at = t;
    for (int step : steps) {
      Frame f = new Frame(at, c, body.lenses().get(0), false, 0, 0, EnumSet.noneOf(Trouble.class));
      f.set = middle.set - step;
      shots.add(f.shot(0, 0, step));
      at += 0.12;
    }
    return at;
  }

  private boolean happens(Trouble t, double probability, Set<Trouble> here) {
    boolean yes = troubles.contains(t) && shift.special() == t && r.nextDouble() < probability;
    if (yes) {
      here.add(t);
    }
    return yes;
  }

  /** Finds the dials' exposure value, in sixths, for a frame. */
  private void expose(Frame f, int inBurst, int bias) {
    if (shift.mode() == Mode.APERTURE_PRIORITY) {
      double seen =
          0.65 * meter.metered(f.composition, view.light().at(f.at).ev100() - f.ambient.ev100());
      if (inBurst == 0 && StrictMath.abs(seen) > 0.7 && r.nextInt(4) > 0) {
        // Common practice, no source: against a bright window one dials in half a stop or more.
        correction = Math.max(-12, Math.min(12, snap(0.6 * seen)));
      } else if (inBurst == 0) {
        correction = 0;
      }
      f.bias = bias + correction;
      f.set = snap(f.ambient.ev100() - f.filter - f.lens.lossStops() + seen - f.bias / 6.0);
      return;
    }
    // The photographer judges the place, not the face that turned away from its light.
    double meant = view.light().at(f.at).ev100() + (shift.mode() == Mode.FLASH ? 1.3 : 0);
    double needed = meant - f.filter;
    Integer set = dials.get(view);
    boolean off = set == null || Math.abs(set / 6.0 - needed) > 0.85;
    if (set == null || (inBurst == 0 && off && r.nextDouble() < 0.7)) {
      set = snap(needed + 0.22 * r.nextGaussian());
    } else if (r.nextDouble() < (inBurst == 0 ? 0.14 : 0.03)) {
      set += r.nextBoolean() ? body.step() : -body.step();
    }
    dials.put(view, set);
    f.set = set;
  }

  private int snap(double ev) {
    return body.step() * (int) StrictMath.round(ev * 6 / body.step());
  }

  /** A frame in the making. */
  private final class Frame {
    private final double at;
    private final Composition composition;
    private final Lens lens;
    private final boolean backlit;
    private final boolean mixed;
    private final int filter;
    private final Set<Trouble> troubles;
    private final Light ambient;
    private int set;
    private int bias;

    Frame(
        double at,
        Composition composition,
        Lens lens,
        boolean backlit,
        double mixed,
        int filter,
        Set<Trouble> troubles) {
      this.at = at;
      this.composition = composition;
      this.lens = lens;
      this.backlit = backlit;
      this.filter = filter;
      this.troubles = troubles;
      Light place = view.light().at(at);
      if (mixed > 0) {
        View across = shift.views().get(view.equals(shift.views().get(0)) ? 1 : 0);
        ambient =
            place
                .brighter(Light.log2(1 - mixed))
                .plus(across.light().at(at).brighter(Light.log2(mixed)));
      } else {
        ambient = backlit ? place.brighter(-BACKLIGHT_STOPS) : place;
      }
      this.mixed = mixed > 0;
    }

    Shot shot(double whiteError, double flashError, @Nullable Integer bracket) {
      Exposure e = dials(set);
      double reach = body.sensitivityStops() - lens.lossStops() - filter;
      Light place = view.light().at(at);
      double flicker = 0;
      double bands = 0;
      if (shift.special() == Trouble.FLICKER
          && Photographer.this.troubles.contains(Trouble.FLICKER)) {
        flicker = MAINS.stops(r.nextDouble() / MAINS.hertz(), e.seconds());
        troubles.add(Trouble.FLICKER);
      }
      if (shift.special() == Trouble.BANDED
          && Photographer.this.troubles.contains(Trouble.BANDED)) {
        bands = 0.3 + 0.3 * r.nextDouble();
        troubles.add(Trouble.BANDED);
      }
      Light subject = ambient.brighter(flicker);
      Light ground = place.brighter(flicker);
      if (StrictMath.abs(ambient.duv()) > 0.005 && shift.cast() != Act.Cast.DANCERS) {
        troubles.add(Trouble.DUV);
      }
      if (body.id().equals("B") && Photographer.this.troubles.contains(Trouble.PROFILE)) {
        troubles.add(Trouble.PROFILE);
      }
      boolean fired = shift.mode() == Mode.FLASH && bracket == null;
      boolean flashed = false;
      if (fired) {
        boolean weak = Photographer.this.troubles.contains(Trouble.SPENT);
        boolean recycled = at - lastFlash > 1.4 || r.nextInt(100) >= (weak ? WEAK_FAILS : 9);
        if (weak && !recycled) {
          troubles.add(Trouble.SPENT);
        }
        if (recycled) {
          double fooled = -0.3 * meter.metered(composition, -1);
          double wanted =
              StrictMath.pow(2, clamp(flashError + 0.09 * r.nextGaussian() + fooled, -0.9, 0.9));
          double have = StrictMath.pow(2, ambient.ev100() - e.ev100() + reach);
          double given = Math.max(0.04, wanted - have);
          double ev = Light.log2(given) + e.ev100() - reach;
          Light flash = Light.lamp(ev, FLASH_KELVIN, 0);
          subject = subject.plus(flash);
          ground = ground.plus(flash.brighter(Light.log2(FLASH_BEHIND)));
          flashed = true;
          lastFlash = at;
        }
      }
      double gain = subject.ev100() - e.ev100() + reach;
      return new Shot(
          body,
          day,
          start + at,
          act.name(),
          act.name()
              + "/"
              + view.place().name().toLowerCase(Locale.ROOT).replace('_', '-')
              + "/"
              + (flashed ? "flash" : backlit ? "backlit" : mixed ? "mixed" : "ambient"),
          framing,
          composition,
          e,
          shift.mode() == Mode.APERTURE_PRIORITY,
          bracket != null ? bracket : bias,
          lens,
          subject,
          ground,
          view.other().at(at, framing),
          ambient.ev100(),
          gain,
          white(subject, whiteError),
          shift.preset() == null ? null : Integer.valueOf(shift.preset().lightSource()),
          fired,
          flashed,
          bracket,
          composition.portrait() ? (framing % 3 == 0 ? 6 : 8) : 1,
          bands,
          troubles,
          r.nextLong());
    }

    private Exposure dials(int ev) {
      int step = body.step();
      int isoStep = step == 3 ? 6 : 2;
      int av = Math.max(shift.av(), lens.widest());
      av = (av + step - 1) / step * step;
      int tv = ev - av;
      int iso = 0;
      int slowest = (shift.slowest() + step - 1) / step * step;
      if (tv < slowest) {
        iso = (slowest - tv + isoStep - 1) / isoStep * isoStep;
        iso = Math.min(iso, 48);
        tv += iso;
      }
      if (tv > 78) {
        av += tv - 78;
        tv = 78;
      }
      return new Exposure(av, Math.max(tv, -30), iso);
    }

    private Light white(Light light, double framingError) {
      if (shift.preset() != null) {
        return Light.lamp(0, shift.preset().kelvin(), 0);
      }
      double mired = 1e6 / light.kelvin();
      double guess =
          mired
              + 0.04 * (200 - mired)
              + body.autoWhiteMired()
              + framingError
              + 1.8 * r.nextGaussian();
      double kelvin = clamp(1e6 / guess, 2000, 12000);
      return new Light(0, Krystek1985.chromaticity(kelvin, clamp(0.8 * light.duv(), -0.02, 0.02)));
    }
  }

  private static double clamp(double v, double low, double high) {
    return Math.max(low, Math.min(high, v));
  }
}
