package samelight.engine.lighting;

import java.util.List;
import java.util.Map;
import samelight.engine.likeness.ComparisonMemory;
import samelight.engine.likeness.Look;
import samelight.engine.photometry.BodyResponse;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Mired;
import samelight.engine.timeline.TimedFrame;

/**
 * The difference of mean log luminance of the thumbnails' unclipped pixels: follows the light, but
 * takes a white dress for bright light and a black suit for dark.
 */
public final class BrightnessOnly implements RenderingEstimate {
  private final double[] brightness;

  /** An estimate over frames in the order of the day, with the responses of their bodies. */
  public BrightnessOnly(List<TimedFrame> frames, Map<String, BodyResponse> responses) {
    Views views = new Views(frames, responses, ComparisonMemory.NONE);
    brightness = new double[frames.size()];
    for (int i = 0; i < brightness.length; i++) {
      Look v = views.of(i);
      brightness[i] = v == null ? Double.NaN : v.facts().brightness();
    }
  }

  @Override
  public LightDifference between(int f, int g) {
    double d = brightness[f] - brightness[g];
    boolean known = !Double.isNaN(d);
    return new LightDifference(
        new Ev(known ? d : 0),
        new Ev(known ? 0.4 : 2),
        Mired.ZERO,
        new Mired(12),
        Duv.ZERO,
        known ? LightDifference.Kind.BRIGHTNESS : LightDifference.Kind.NONE,
        List.of());
  }

  @Override
  public String name() {
    return "brightness only";
  }
}
