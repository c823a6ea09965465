package samelight.engine.lighting;

import java.util.List;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Mired;
import samelight.engine.timeline.TimedFrame;

/**
 * The difference of exposure values by settings (Exif 2.2, Annex C), as if the light were steady:
 * exact in a lit room, wrong by the whole change when a cloud passes, and without meaning for
 * flash.
 */
public final class SettingsOnly implements RenderingEstimate {
  private final List<TimedFrame> frames;

  /** An estimate over frames in the order of the day. */
  public SettingsOnly(List<TimedFrame> frames) {
    this.frames = List.copyOf(frames);
  }

  @Override
  public LightDifference between(int f, int g) {
    double d = frames.get(g).ev() - frames.get(f).ev();
    boolean known = !Double.isNaN(d);
    return new LightDifference(
        new Ev(known ? d : 0),
        new Ev(known ? 0.5 : 2),
        Mired.ZERO,
        new Mired(12),
        Duv.ZERO,
        known ? LightDifference.Kind.SETTINGS : LightDifference.Kind.NONE,
        List.of());
  }

  @Override
  public String name() {
    return "settings only";
  }
}
