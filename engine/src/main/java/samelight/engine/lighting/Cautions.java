package samelight.engine.lighting;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import samelight.engine.timeline.TimedFrame;

/**
 * What a number can't mend: why a person should look at a frame although its difference from the
 * reference is known. All thresholds are common practice, no source, but for the mains: lamps
 * flicker at twice 50 or 60 Hz, so that exposures shorter than a hundredth of a second catch a part
 * of the cycle ([IEEE1789]).
 */
final class Cautions {
  /** A flash that changed by more than this didn't fire, hadn't recycled or lit something else. */
  private static final double FLASH_CHANGED = 0.7;

  /** Two lights mix at another ratio if the colour moves by more than this, in mired. */
  private static final double MIXED_MIRED = 25;

  /** The same in JPEGs, whose automatic white balance wanders too. */
  private static final double MIXED_RENDERED = 40;

  /** A sun that goes down moves it slower, in seconds. */
  private static final double MIXED_PAUSE = 180;

  /** Lamps that flicker: light changed by more than this within a short time, in stops. */
  private static final double FLICKER = 0.3;

  private static final double FLICKER_PAUSE = 60;

  /** The middle of the picture is darker than what surrounds it by more than this, in stops. */
  private static final double BACKLIT = -1.75;

  /** The same where the place is known and its middle is not as dark in the reference. */
  private static final double BACKLIT_IN_PLACE = -1.6;

  private static final double BACKLIT_CHANGE = 1.2;

  private static final double CLIPPED = 0.02;
  private static final double BRIGHTENED = 0.25;

  private final LightModel model;

  Cautions(LightModel model) {
    this.model = model;
  }

  /**
   * Reasons in words.
   *
   * @param f a frame
   * @param g its reference
   * @param d how they differ
   */
  List<String> of(int f, int g, LightDifference d) {
    List<String> out = new ArrayList<>();
    if (f == g) {
      return out;
    }
    TimedFrame a = model.frames.get(f);
    TimedFrame b = model.frames.get(g);
    boolean linked = model.place[model.framingOf[f]] == model.place[model.framingOf[g]];
    boolean flash = model.flash(f) || model.flash(g);
    double settings = b.ev() - a.ev();
    double light = d.rendered().stops() - settings;
    double pause = Math.abs(a.seconds() - b.seconds());
    if (linked && flash) {
      double varied =
          Math.min(Math.abs(d.rendered().stops()), Math.abs(d.rendered().stops() - manual(b, a)));
      if (varied > FLASH_CHANGED) {
        out.add(String.format(Locale.ROOT, "flash varied by %.1f stops", varied));
      }
    }
    if (linked
        && !flash
        && Math.abs(d.mired().value()) > (a.frame().jpeg() ? MIXED_RENDERED : MIXED_MIRED)
        && pause < MIXED_PAUSE) {
      out.add(
          String.format(
              Locale.ROOT,
              "mixed light: its colour moved by %.0f mired",
              Math.abs(d.mired().value())));
    }
    if (linked && !flash && pause < FLICKER_PAUSE && Math.abs(light) > FLICKER && lamps(f, g)) {
      out.add(
          String.format(Locale.ROOT, "flicker: lamplight changed by %.1f stop", Math.abs(light)));
    }
    int k = model.framingOf[f];
    int m = model.framingOf[g];
    double bands = model.framings.get(k).bands();
    if (bands > 0) {
      out.add(
          String.format(
              Locale.ROOT, "banded: lamps flicker across the frame by up to %.1f stop", bands));
    }
    boolean seen = !Double.isNaN(model.faces(k, m));
    if (seen
        ? model.facesDiffer(k, m)
        : !flash && backlit(linked, model.middle(f), model.middle(g))) {
      out.add("backlit, or meant dark?");
    }
    double clipped = model.clipped(f);
    // what is white in the reference too is meant to be
    if (clipped > CLIPPED + model.clipped(g) && -d.rendered().stops() > BRIGHTENED) {
      out.add(
          String.format(
              Locale.ROOT, "highlights clipped %.1f %% and the match brightens", 100 * clipped));
    }
    return out;
  }

  private static boolean backlit(boolean linked, double middle, double reference) {
    return linked
        ? Math.min(middle, reference) < BACKLIT_IN_PLACE
            && Math.abs(middle - reference) > BACKLIT_CHANGE
        : middle < BACKLIT;
  }

  /**
   * What aperture and ISO say of a flash of constant output, in stops: shutter time doesn't count.
   */
  private static double manual(TimedFrame a, TimedFrame b) {
    return FlashActing.aperture(a) - FlashActing.aperture(b);
  }

  private boolean lamps(int f, int g) {
    return Lamplight.brief(model.frames.get(f))
        && Lamplight.brief(model.frames.get(g))
        && Lamplight.dim(model.impliedLight(model.framingOf[f]))
        && Lamplight.dim(model.impliedLight(model.framingOf[g]));
  }
}
