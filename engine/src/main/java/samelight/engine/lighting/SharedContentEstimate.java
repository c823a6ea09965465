package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import samelight.engine.colour.WhiteRatios;
import samelight.engine.colour.WhiteTemperature;
import samelight.engine.frame.WhiteBalance;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Mired;

/**
 * What the pictures share says how they differ; see {@link LightModel}. Frames without common
 * content are compared by settings, with an uncertainty that makes a person look.
 */
final class SharedContentEstimate implements RenderingEstimate {
  private static final double UNLINKED_MIRED = 12;

  /** Least error of a colour compared by pictures, in mired. */
  private static final double COLOUR_SIGMA = 2.5;

  /**
   * Where links err by a stop, colours err by so many mired: a stop of red and blue over green is
   * some 90 mired, and colours of patches spread by two thirds of what their exposures do.
   */
  private static final double MIRED_PER_STOP = 60;

  /** Within a steady stretch a smaller drift isn't told from noise, in mired. */
  private static final double STEADY_MIRED = 4;

  /** Light known to this, in stops, is its neighbours' light, and has its colour. */
  private static final double AS_BEFORE = 1.0 / 12;

  private static final int MOST_WITNESSES = 12;

  private final LightModel model;
  private final Steadiness steadiness;
  private final LightCourse course;
  private final double[] placeMired;

  SharedContentEstimate(LightModel model, int[] sections) {
    this.model = model;
    steadiness = new Steadiness(model);
    course = new LightCourse(model, sections);
    placeMired = new double[model.places.size()];
    for (int p = 0; p < placeMired.length; p++) {
      placeMired[p] = typicalMired(model.places.get(p));
    }
  }

  /** Median of the as-shot white points of a place: where on the locus its light lies. */
  private double typicalMired(List<Integer> framings) {
    double[] m =
        framings.stream()
            .mapToDouble(
                k -> {
                  var kelvin = model.base(k).frame().whiteBalance().point().kelvin();
                  return kelvin == null ? Double.NaN : kelvin.toMired().value();
                })
            .filter(d -> !Double.isNaN(d))
            .sorted()
            .toArray();
    return m.length == 0 ? 200 : m[m.length / 2];
  }

  @Override
  public String name() {
    return "shared content";
  }

  @Override
  public LightDifference between(int f, int g) {
    if (f == g) {
      return new LightDifference(
          Ev.ZERO, Ev.ZERO, Mired.ZERO, Mired.ZERO, Duv.ZERO, LightDifference.Kind.SAME, List.of());
    }
    int k = model.framingOf[f];
    int m = model.framingOf[g];
    if (model.place[k] != model.place[m]) {
      return unlinked(f, g);
    }
    LightDifference.Kind kind =
        k == m
            ? LightDifference.Kind.FRAMING
            : model.stretchOf(f) == model.stretchOf(g)
                ? LightDifference.Kind.STEADY
                : LightDifference.Kind.SHARED;
    WhiteTemperature shift = colourShift(f, g, kind);
    double miredSigma =
        switch (kind) {
          case FRAMING -> COLOUR_SIGMA / 2;
          case SHARED -> Math.hypot(COLOUR_SIGMA, MIRED_PER_STOP * model.linkSigma(k, m));
          default -> COLOUR_SIGMA;
        };
    if (!model.basis(f).equals(model.basis(g))) {
      miredSigma = UNLINKED_MIRED;
    }
    return new LightDifference(
        new Ev(model.rendering(f) - model.rendering(g)),
        new Ev(model.sigma(f, g)),
        shift == null ? Mired.ZERO : shift.kelvin().toMired().minus(origin(f)),
        new Mired(miredSigma),
        shift == null ? Duv.ZERO : shift.duv(),
        kind,
        witnesses(k));
  }

  private Mired origin(int f) {
    return new Mired(placeMired[model.place[model.framingOf[f]]]);
  }

  /** The place's typical white point moved by half the difference of two colours each way. */
  private @org.jspecify.annotations.Nullable WhiteTemperature colourShift(
      int f, int g, LightDifference.Kind kind) {
    if (!model.basis(f).equals(model.basis(g))) {
      return null;
    }
    WhiteRatios a = model.colour(f);
    WhiteRatios b = model.colour(g);
    WhiteRatios at = WhiteRatios.of(origin(f).toKelvin());
    double rg = (a.redGreen() - b.redGreen()) / 2;
    double bg = (a.blueGreen() - b.blueGreen()) / 2;
    Optional<WhiteTemperature> up = at.plus(rg, bg).temperature();
    Optional<WhiteTemperature> down = at.plus(-rg, -bg).temperature();
    if (up.isEmpty() || down.isEmpty()) {
      return null;
    }
    double mired = up.get().kelvin().toMired().value() - down.get().kelvin().toMired().value();
    double duv = up.get().duv().value() - down.get().duv().value();
    boolean flash = model.flash(f) || model.flash(g);
    if (!flash
        && kind != LightDifference.Kind.SHARED
        && Math.abs(mired) <= STEADY_MIRED
        && Math.abs(duv) < 0.002) {
      return null;
    }
    double moved = Math.max(1, Math.min(1900, origin(f).value() + mired));
    return new WhiteTemperature(
        new Mired(moved).toKelvin(), new Duv(Math.max(-0.2, Math.min(0.2, duv))));
  }

  private LightDifference unlinked(int f, int g) {
    var a = model.frames.get(f);
    var b = model.frames.get(g);
    double settings = b.ev() - a.ev();
    boolean flash = model.flash(f) || model.flash(g);
    double bright = brightness(f) - brightness(g);
    if (!Double.isNaN(settings) && !flash) {
      LightDifference amid = amid(f, g);
      if (amid != null) {
        return amid;
      }
      Steadiness.Guess bodies = steadiness.bodies(b.frame().body().id(), a.frame().body().id());
      double exact = settings + bodies.mean();
      // the later frame says which light it is, so that swapping the frames negates the result
      double seconds = Math.max(a.seconds(), b.seconds());
      Steadiness.Guess light = steadiness.light(seconds, bright - exact);
      return plain(
          exact + light.mean(),
          Math.hypot(Math.hypot(light.sigma(), bodies.sigma()), model.lensSigma(f, g)),
          LightDifference.Kind.SETTINGS,
          f);
    }
    if (!Double.isNaN(bright)) {
      Steadiness.Guess rendered = steadiness.flash(bright);
      return plain(rendered.mean(), rendered.sigma(), LightDifference.Kind.BRIGHTNESS, f);
    }
    return Double.isNaN(settings)
        ? plain(0, 2, LightDifference.Kind.NONE, f)
        : plain(settings, 0.7, LightDifference.Kind.SETTINGS, f);
  }

  /** By the course of the light in the place of one of both, while the other was made amid it. */
  private @Nullable LightDifference amid(int f, int g) {
    int k = model.framingOf[f];
    int m = model.framingOf[g];
    boolean swap = hosts(k, m);
    int lone = swap ? m : k;
    int host = swap ? k : m;
    LightCourse.Known at = course.at(lone, model.place[host]);
    if (at == null) {
      return null;
    }
    Steadiness.Guess d = light(lone, at);
    double light = d.mean();
    int one = swap ? g : f;
    int other = swap ? f : g;
    double rendered =
        light
            - model.base(lone).ev()
            + model.rendering(one)
            - model.rendering(model.framings.get(lone).base())
            - model.rendering(other);
    int witness = at.before() >= 0 ? at.before() : at.after();
    double sigma =
        Math.hypot(
            Math.hypot(d.sigma(), model.sigma(witness, other)), model.lensSigma(one, witness));
    double mired = at.line(n -> between(n, other).mired().value());
    double miredSigma = colourSigma(lone, other, d.sigma());
    return new LightDifference(
        new Ev(swap ? -rendered : rendered),
        new Ev(sigma),
        new Mired(swap ? -mired : mired),
        new Mired(miredSigma),
        Duv.ZERO,
        LightDifference.Kind.SETTINGS,
        witnesses(model.framingOf[f]));
  }

  /**
   * Light of a framing by the course of a place. What isn't sure is guessed more cautiously:
   * several framings may have content in common that misleads the course.
   */
  private Steadiness.Guess light(int lone, LightCourse.Known at) {
    Steadiness.Guess course = at.light();
    if (course.sigma() <= AS_BEFORE) {
      return course;
    }
    double implied = model.impliedLight(lone) - at.line(model::sceneLight);
    Steadiness.Guess beside = steadiness.light(model.base(lone).seconds(), implied);
    return new Steadiness.Guess(
        at.line(model::lightOf) + beside.mean(), Math.max(course.sigma(), beside.sigma()));
  }

  /**
   * How well the colour of light is known that is taken to be its neighbours': not at all where the
   * body's guess at white is baked in.
   */
  private double colourSigma(int lone, int other, double light) {
    var frame = model.base(lone).frame();
    boolean free = frame.jpeg() && frame.whiteBalance().setting() != WhiteBalance.Setting.PRESET;
    boolean comparable = model.basis(model.framings.get(lone).base()).equals(model.basis(other));
    return free || !comparable || light > AS_BEFORE
        ? UNLINKED_MIRED
        : Math.hypot(COLOUR_SIGMA, STEADY_MIRED / 2);
  }

  /** Whether the place of a framing is better known than that of another. */
  private boolean hosts(int k, int m) {
    int more =
        Integer.compare(
            model.places.get(model.place[k]).size(), model.places.get(model.place[m]).size());
    int longer =
        Integer.compare(
            model.framings.get(k).members().size(), model.framings.get(m).members().size());
    return more != 0 ? more > 0 : longer != 0 ? longer > 0 : k < m;
  }

  private double brightness(int f) {
    int k = model.framingOf[f];
    return model.brightness[k] + model.framings.get(k).gain()[model.memberOf[f]];
  }

  private LightDifference plain(double rendered, double sigma, LightDifference.Kind kind, int f) {
    return new LightDifference(
        new Ev(rendered),
        new Ev(sigma),
        Mired.ZERO,
        new Mired(UNLINKED_MIRED),
        Duv.ZERO,
        kind,
        witnesses(model.framingOf[f]));
  }

  private List<String> witnesses(int k) {
    int[] near = model.witnesses(k).stream().mapToInt(Integer::intValue).distinct().toArray();
    Arrays.sort(near);
    List<String> out = new ArrayList<>();
    for (int i = 0; i < Math.min(near.length, MOST_WITNESSES); i++) {
      out.add(model.base(near[i]).frame().file());
    }
    return out;
  }
}
