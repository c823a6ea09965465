package samelight.engine.metadata;

import org.jspecify.annotations.Nullable;
import samelight.engine.metadata.Collected.StatedWhitePoint;

/**
 * Nikon's WB_RBLevels (0x000C): red and blue multipliers with green 1; else the plain versions of
 * ColorBalance (0x0097): 0100 at byte 72 as R B G G, 0102 at 10 as R G G B, 0103 at 20 as R G B G,
 * as ExifTool documents them. Versions from 0200 on are enciphered and left alone.
 */
final class NikonWhitePoint implements MakerWhitePoint {
  private static final int LEVELS = 0x000C;
  private static final int BALANCE = 0x0097;

  @Override
  public @Nullable StatedWhitePoint read(Collected file) {
    Directory maker = file.maker();
    if (maker == null) {
      return null;
    }
    double[] v = maker.numbers(LEVELS);
    if (v.length >= 2) {
      StatedWhitePoint p =
          MakerWhitePoint.of(
              MakerWhitePoint.neutral(v[0], 1, v[1]), 0, "Nikon WB_RBLevels (0x000C)");
      if (p != null) {
        return p;
      }
    }
    TagValue balance = maker.get(BALANCE);
    byte[] b = balance == null ? null : balance.plain();
    return b == null ? null : plain(b, maker);
  }

  private static @Nullable StatedWhitePoint plain(byte[] b, Directory maker) {
    String version =
        b.length < 4 ? "" : new String(b, 0, 4, java.nio.charset.StandardCharsets.US_ASCII);
    boolean big = maker.bigEndian();
    int at =
        switch (version) {
          case "0100" -> 72;
          case "0102" -> 10;
          case "0103" -> 20;
          default -> -1;
        };
    if (at < 0 || at + 8 > b.length) {
      return null;
    }
    int[] w = new int[4];
    for (int i = 0; i < 4; i++) {
      int x = b[at + 2 * i] & 0xFF;
      int y = b[at + 2 * i + 1] & 0xFF;
      w[i] = big ? x << 8 | y : y << 8 | x;
    }
    var neutral =
        switch (version) {
          case "0100" -> MakerWhitePoint.neutral(w[0], (w[2] + w[3]) / 2.0, w[1]);
          case "0102" -> MakerWhitePoint.neutral(w[0], (w[1] + w[2]) / 2.0, w[3]);
          default -> MakerWhitePoint.neutral(w[0], (w[1] + w[3]) / 2.0, w[2]);
        };
    return MakerWhitePoint.of(neutral, 0, "Nikon ColorBalance (0x0097, " + version + ")");
  }
}
