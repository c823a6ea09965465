package samelight.engine.colour;

import java.util.Map;
import samelight.engine.quantity.Kelvin;

/** Colour matrices of real cameras, as their DNG files state them. */
final class Cameras {
  /** colour-science/colour-hdri, models/tests/test_adobe_dng.py (BSD); illuminants 2850, 6500 K. */
  static final DngNeutral EXAMPLE =
      DngNeutral.of(
          Matrix3.of(.5309, -.0229, -.0336, -.6241, 1.3265, .3337, -.0817, .1215, .6664),
          new Kelvin(2850),
          Matrix3.of(.4716, .0603, -.0830, -.7798, 1.5474, .2480, -.1496, .1937, .6651),
          new Kelvin(6500));

  /**
   * The example; a reflex (exiftool, t/images/DNG.dng); a telephone (Exiv2, test/data,
   * IMG_1361.dng); a compact camera (bep/imagemeta, CC0).
   */
  static final Map<String, DngNeutral> REAL =
      Map.of(
          "example",
          EXAMPLE,
          "reflex",
          DngNeutral.of(
              Matrix3.of(
                  0.6159, -0.0945, -0.0745, -0.6846, 1.3563, 0.3684, -0.0802, 0.1086, 0.7555),
              new Kelvin(2856),
              Matrix3.of(0.6018, -0.0617, -0.0965, -0.8645, 1.5881, 0.2975, -0.153, 0.1719, 0.7642),
              new Kelvin(6504)),
          "telephone",
          DngNeutral.of(
              Matrix3.of(
                  1.2271626,
                  -0.5454787,
                  -0.2612877,
                  -0.4546857,
                  1.5177797,
                  -0.0426504,
                  -0.0409380,
                  0.1636143,
                  0.5913458),
              new Kelvin(2856),
              Matrix3.of(
                  0.9145434,
                  -0.3222275,
                  -0.1262249,
                  -0.4288680,
                  1.3095410,
                  0.0946757,
                  -0.1062919,
                  0.2350455,
                  0.4307328),
              new Kelvin(6504)),
          "compact",
          DngNeutral.of(
              Matrix3.of(
                  0.536034, -0.173429, -0.089823, -0.290416, 0.735807, 0.047894, -0.071455,
                  0.114314, 0.274533)));

  private Cameras() {}
}
