package samelight.engine.lighting;

import java.util.List;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Mired;

/** No compensation at all: what copying an edit over a group does. For comparison. */
public final class BlindCopy implements RenderingEstimate {
  @Override
  public LightDifference between(int f, int g) {
    return new LightDifference(
        Ev.ZERO,
        new Ev(0.4),
        Mired.ZERO,
        new Mired(12),
        Duv.ZERO,
        LightDifference.Kind.NONE,
        List.of());
  }

  @Override
  public String name() {
    return "blind copy";
  }
}
