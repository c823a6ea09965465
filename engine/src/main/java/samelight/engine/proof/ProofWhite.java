package samelight.engine.proof;

import org.jspecify.annotations.Nullable;
import samelight.engine.colour.Bradford;
import samelight.engine.colour.Chromaticity;
import samelight.engine.colour.LightShift;
import samelight.engine.colour.Matrix3;
import samelight.engine.colour.Planckian;
import samelight.engine.colour.RelativeShift;
import samelight.engine.colour.WhiteTemperature;
import samelight.engine.frame.Frame;
import samelight.engine.match.Grade;
import samelight.engine.match.Match;
import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Kelvin;
import samelight.engine.quantity.Mired;

/**
 * How the colours of a proof change: from the white that the camera balanced for to the white of
 * the recipe, by the Bradford transform ([ICC], Annex E, after [LAM85]) between the two lights.
 *
 * <p>The white of the recipe is the grade's, or where it has none the reference's as shot, plus the
 * match. Where a file doesn't say what it was balanced for, and for a JPEG, whose balance is baked
 * in, it is taken to be balanced for {@value #UNSAID} K, the white of sRGB.
 */
public final class ProofWhite {
  private static final double UNSAID = 6504;
  private static final double MOST_DUV = 0.05;

  /** Linear sRGB to XYZ, white D65 ([IEC61966-2-1]). */
  private static final Matrix3 TO_XYZ =
      Matrix3.of(
          0.4124, 0.3576, 0.1805, //
          0.2126, 0.7152, 0.0722, //
          0.0193, 0.1192, 0.9505);

  private static final Matrix3 TO_RGB = TO_XYZ.inverse();

  private ProofWhite() {}

  /**
   * The matrix on linear light in sRGB primaries.
   *
   * @param frame the frame
   * @param reference its reference
   * @param match of the frame to the reference
   * @param grade of the reference, or null where none is stated
   */
  public static Matrix3 matrix(Frame frame, Frame reference, Match match, @Nullable Grade grade) {
    WhiteTemperature ofReference = asShot(reference);
    WhiteTemperature shot =
        frame.file().equals(reference.file()) ? ofReference : asShot(frame, reference, ofReference);
    Kelvin kelvin = grade == null ? null : grade.kelvin();
    Duv duv = grade == null ? null : grade.duv();
    WhiteTemperature wanted =
        moved(
            new WhiteTemperature(
                kelvin == null ? ofReference.kelvin() : kelvin,
                duv == null ? ofReference.duv() : duv),
            match.mired(),
            match.duv());
    return between(shot, wanted);
  }

  /**
   * The matrix that turns a picture balanced for one white into one balanced for another: what that
   * other light lit comes out neutral.
   */
  public static Matrix3 between(WhiteTemperature balanced, WhiteTemperature wanted) {
    if (balanced.equals(wanted)) {
      return Matrix3.IDENTITY;
    }
    try {
      Chromaticity from = Planckian.chromaticity(wanted);
      Chromaticity to = Planckian.chromaticity(balanced);
      return TO_RGB.times(Bradford.adaptation(from, to)).times(TO_XYZ);
    } catch (IllegalArgumentException noSuchLight) {
      return Matrix3.IDENTITY; // a tint far from any white: the proof keeps its colours
    }
  }

  private static WhiteTemperature asShot(Frame frame) {
    var point = frame.whiteBalance().point();
    Kelvin kelvin = point.kelvin();
    Duv duv = point.duv();
    return frame.jpeg() || kelvin == null
        ? new WhiteTemperature(new Kelvin(UNSAID), Duv.ZERO)
        : new WhiteTemperature(kelvin, duv == null ? Duv.ZERO : duv);
  }

  private static WhiteTemperature asShot(
      Frame frame, Frame reference, WhiteTemperature ofReference) {
    var point = frame.whiteBalance().point();
    var neutral = point.neutral();
    var other = reference.whiteBalance().point().neutral();
    boolean ratiosOnly =
        !frame.jpeg()
            && point.kelvin() == null
            && reference.whiteBalance().point().kelvin() == null
            && frame.body().id().equals(reference.body().id());
    if (ratiosOnly && neutral != null && other != null) {
      LightShift shift = RelativeShift.between(other, neutral).orElse(LightShift.NONE);
      return moved(ofReference, shift.mired(), shift.duv());
    }
    return asShot(frame);
  }

  private static WhiteTemperature moved(WhiteTemperature white, Mired mired, Duv duv) {
    double m = white.kelvin().toMired().plus(mired).value();
    double d = white.duv().value() + duv.value();
    return new WhiteTemperature(
        new Mired(Math.max(20, Math.min(900, m))).toKelvin(),
        new Duv(Math.max(-MOST_DUV, Math.min(MOST_DUV, d))));
  }
}
