package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;
import samelight.engine.metadata.Collected.StatedWhitePoint;

/**
 * Fujifilm ColorTemperature (0x1005), which is there when kelvin were set by hand. The levels of a
 * raw file stand in its own header, see {@link RafFile}.
 */
final class FujifilmWhitePoint implements MakerWhitePoint {
  @Override
  public @Nullable StatedWhitePoint read(Collected file) {
    Directory maker = file.maker();
    double kelvin = maker == null ? 0 : maker.number(0x1005);
    StatedWhitePoint raw = file.whitePoint;
    if (!(kelvin >= 1000)) {
      return raw;
    }
    return MakerWhitePoint.of(
        raw == null ? null : raw.point().neutral(),
        kelvin,
        (raw == null ? "" : raw.source() + " and ") + "Fujifilm ColorTemperature (0x1005)");
  }
}
