package samelight.engine.lighting;

import java.util.List;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Ev;
import samelight.engine.quantity.Mired;

/**
 * How a frame differs from another, and how well that is known.
 *
 * @param rendered stops by which the frame renders the same things brighter than the other
 * @param sigma one standard deviation of {@code rendered}
 * @param mired by how much the frame's light is warmer
 * @param miredSigma one standard deviation of {@code mired}
 * @param duv by how much the frame's light is greener
 * @param kind what the difference rests on
 * @param witnesses frames that the frame was compared with
 * @param cautions why a person should look although the difference is known
 */
public record LightDifference(
    Ev rendered,
    Ev sigma,
    Mired mired,
    Mired miredSigma,
    Duv duv,
    Kind kind,
    List<String> witnesses,
    List<String> cautions) {

  /** A difference without cautions. */
  public LightDifference(
      Ev rendered,
      Ev sigma,
      Mired mired,
      Mired miredSigma,
      Duv duv,
      Kind kind,
      List<String> witnesses) {
    this(rendered, sigma, mired, miredSigma, duv, kind, witnesses, List.of());
  }

  /** The same with reasons why a person should look. */
  LightDifference with(List<String> reasons) {
    return new LightDifference(rendered, sigma, mired, miredSigma, duv, kind, witnesses, reasons);
  }

  /** What a difference rests on. */
  public enum Kind {
    /** A frame against itself. */
    SAME,
    /** Pictures of one framing. */
    FRAMING,
    /** Pictures show the light to be the same: exact settings. */
    STEADY,
    /** The same background seen in both, directly or over other frames. */
    SHARED,
    /** Settings alone, in the hope that the light was steady. */
    SETTINGS,
    /** Brightness alone. */
    BRIGHTNESS,
    /** Nothing. */
    NONE
  }

  /** Copies its list. */
  public LightDifference {
    witnesses = List.copyOf(witnesses);
    cautions = List.copyOf(cautions);
  }
}
