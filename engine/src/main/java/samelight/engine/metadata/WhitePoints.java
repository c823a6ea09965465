package samelight.engine.metadata;

import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.WhitePoint;
import samelight.engine.metadata.Collected.StatedWhitePoint;
import samelight.engine.quantity.Kelvin;

/** Finds the white point as shot: DNG's own, the maker's, else Exif LightSource. */
final class WhitePoints {
  private WhitePoints() {}

  static @Nullable StatedWhitePoint read(Collected file, String make) {
    for (MakerWhitePoint m : makers(make)) {
      StatedWhitePoint p = m.read(file);
      if (p != null) {
        return p;
      }
    }
    return file.whitePoint;
  }

  private static List<MakerWhitePoint> makers(String make) {
    String m = make.toUpperCase(Locale.ROOT);
    MakerWhitePoint dng = new DngWhitePoint();
    if (m.startsWith("CANON")) {
      return List.of(dng, new CanonWhitePoint());
    }
    if (m.startsWith("NIKON")) {
      return List.of(dng, new NikonWhitePoint());
    }
    if (m.startsWith("SONY")) {
      return List.of(dng, new SonyWhitePoint());
    }
    if (m.startsWith("OLYMPUS") || m.startsWith("OM DIGITAL")) {
      return List.of(dng, new OlympusWhitePoint());
    }
    if (m.startsWith("PANASONIC") || m.startsWith("LEICA")) {
      return List.of(dng, new PanasonicWhitePoint());
    }
    if (m.startsWith("PENTAX") || m.startsWith("RICOH")) {
      return List.of(dng, new PentaxWhitePoint());
    }
    if (m.startsWith("FUJIFILM")) {
      return List.of(dng, new FujifilmWhitePoint());
    }
    return List.of(dng);
  }

  /**
   * The nominal kelvin of an Exif LightSource: the illuminants' own values (CIE 15), the middle of
   * the fluorescent lamps' ranges (Exif 2.2, p. 35), and for daylight, tungsten, flash, cloudy and
   * shade what presets are taken for (common practice, no source).
   */
  static @Nullable StatedWhitePoint lightSource(int code) {
    double kelvin =
        switch (code) {
          case 1, 4, 9 -> 5500;
          case 2 -> 4200;
          case 3 -> 3200;
          case 10 -> 6500;
          case 11 -> 7500;
          case 12 -> 6400;
          case 13 -> 5000;
          case 14 -> 4200;
          case 15 -> 3450;
          case 17 -> 2856;
          case 18 -> 4874;
          case 19 -> 6774;
          case 20 -> 5503;
          case 21 -> 6504;
          case 22 -> 7504;
          case 23 -> 5003;
          case 24 -> 3200;
          default -> 0;
        };
    return kelvin == 0
        ? null
        : new StatedWhitePoint(
            new WhitePoint(WhitePoint.Kind.LIGHT_SOURCE, new Kelvin(kelvin), null, null),
            "Exif LightSource (0x9208)");
  }
}
