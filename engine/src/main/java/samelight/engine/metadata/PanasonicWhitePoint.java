package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;
import samelight.engine.metadata.Collected.StatedWhitePoint;

/**
 * Panasonic: WBRedLevel, WBGreenLevel, WBBlueLevel, in an RW2's first directory (0x0024 to 0x0026)
 * or in the notes of a JPEG (0x8004 to 0x8006).
 */
final class PanasonicWhitePoint implements MakerWhitePoint {
  @Override
  public @Nullable StatedWhitePoint read(Collected file) {
    Directory main = file.main();
    StatedWhitePoint p = main == null ? null : levels(main, 0x0024, "0x0024-6");
    Directory maker = file.maker();
    return p != null || maker == null ? p : levels(maker, 0x8004, "0x8004-6");
  }

  private static @Nullable StatedWhitePoint levels(Directory d, int red, String tags) {
    return MakerWhitePoint.of(
        MakerWhitePoint.neutral(d.number(red), d.number(red + 1), d.number(red + 2)),
        0,
        "Panasonic WB levels (" + tags + ")");
  }
}
