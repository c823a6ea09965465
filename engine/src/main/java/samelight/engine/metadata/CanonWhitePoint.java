package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;
import samelight.engine.metadata.Collected.StatedWhitePoint;

/**
 * Canon's ColorData (0x4001): RGGB levels as shot and the kelvin the camera gives them. The place
 * depends on the number of values, and for some on the version in the first of them; layouts as
 * ExifTool's Canon tables document them, newer counts by the version that they share.
 */
final class CanonWhitePoint implements MakerWhitePoint {
  private static final int COLOR_DATA = 0x4001;

  @Override
  public @Nullable StatedWhitePoint read(Collected file) {
    Directory maker = file.maker();
    double[] v = maker == null ? new double[0] : words(maker);
    int at = place(v);
    if (at < 0 || at + 4 >= v.length) {
      return null;
    }
    double kelvin = v[at + (v.length == 5120 && signed(v[0]) == -4 ? 7 : 4)];
    double green = (v[at + 1] + v[at + 2]) / 2;
    // The two greens are equal in every file seen: a layout that isn't the right one shows here.
    if (Math.abs(v[at + 1] - v[at + 2]) > 0.02 * green || kelvin < 1500 || kelvin > 25_000) {
      return null;
    }
    return MakerWhitePoint.of(
        MakerWhitePoint.neutral(v[at], green, v[at + 3]),
        kelvin,
        "Canon ColorData (0x4001, " + v.length + " values) at " + at);
  }

  /** Compact bodies store the same words as plain bytes; their count is then that of the bytes. */
  private static double[] words(Directory maker) {
    TagValue t = maker.get(COLOR_DATA);
    byte[] b = t == null ? null : t.plain();
    if (b == null) {
      return maker.numbers(COLOR_DATA);
    }
    double[] v = new double[b.length];
    for (int i = 0; i + 1 < b.length; i += 2) {
      int x = b[i] & 0xFF;
      int y = b[i + 1] & 0xFF;
      v[i / 2] = maker.bigEndian() ? (x << 8) | y : (y << 8) | x;
    }
    return v;
  }

  private static int place(double[] v) {
    return switch (v.length) {
      case 582 -> 25;
      case 653 -> 34;
      case 796, 674, 692, 702, 1227, 1250, 1251, 1337, 1338, 1346 -> 63;
      case 1273, 1275, 1312, 1313, 1316, 1506, 1353, 1560, 1592, 1602 -> 63;
      case 5120 -> signed(v[0]) == -3 || signed(v[0]) == -4 ? 71 : -1;
      case 1816, 1820, 1824 -> 71;
      case 2024, 3656 -> 85;
      case 3778, 3973, 4528 -> 105;
      default -> -1;
    };
  }

  private static int signed(double word) {
    return (short) (int) word;
  }
}
