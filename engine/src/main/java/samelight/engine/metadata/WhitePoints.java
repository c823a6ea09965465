package samelight.engine.metadata;

import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import samelight.engine.colour.LightSources;
import samelight.engine.frame.WhitePoint;
import samelight.engine.metadata.Collected.StatedWhitePoint;

/** Finds the white point as shot: DNG's own, the maker's, else Exif LightSource. */
final class WhitePoints {
  private static final double WIDEST_PRESET_MIRED = 100;

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
    if (m.startsWith("SAMSUNG")) {
      return List.of(dng, new SamsungWhitePoint(), new PentaxWhitePoint());
    }
    if (m.startsWith("FUJIFILM")) {
      return List.of(dng, new FujifilmWhitePoint());
    }
    return List.of(dng);
  }

  /**
   * The nominal kelvin of an Exif LightSource, see {@link LightSources}; null where the code spans
   * so many temperatures that a nominal one would be a guess (fluorescent of any kind).
   */
  static @Nullable StatedWhitePoint lightSource(int code) {
    return LightSources.nominal(code)
        .filter(
            n -> n.lowest().toMired().minus(n.highest().toMired()).value() <= WIDEST_PRESET_MIRED)
        .map(
            n ->
                new StatedWhitePoint(
                    new WhitePoint(WhitePoint.Kind.LIGHT_SOURCE, n.kelvin(), null, null),
                    "Exif LightSource (0x9208)"))
        .orElse(null);
  }
}
