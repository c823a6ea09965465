package samelight.engine.metadata;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import samelight.engine.metadata.Collected.StatedWhitePoint;

/**
 * Samsung: R G G B levels as shot (0xA021) less those of black (0xA028). The body adds a key
 * (0xA020) to both, the same to the same place, so that it cancels. ExifTool's tag documentation
 * has the tags; the key is one for all bodies. Where the notes don't hold it, they were read from a
 * wrong place or are of another kind: then the white point stays unknown.
 */
final class SamsungWhitePoint implements MakerWhitePoint {
  static final int KEY = 0xA020;
  static final int LEVELS = 0xA021;
  static final int BLACK = 0xA028;

  private static final double[] KNOWN_KEY = {305, 72, 737, 456, 282, 307, 519, 724, 13, 505, 193};

  /** Whether the notes hold the known key. */
  static boolean keyed(Directory notes) {
    return Arrays.equals(notes.numbers(KEY), KNOWN_KEY);
  }

  @Override
  public @Nullable StatedWhitePoint read(Collected file) {
    Directory notes = file.maker();
    if (notes == null || !keyed(notes)) {
      return null;
    }
    double[] levels = notes.numbers(LEVELS);
    double[] black = notes.numbers(BLACK);
    if (levels.length != 4 || black.length != 4) {
      return null;
    }
    double green = (levels[1] - black[1] + levels[2] - black[2]) / 2;
    return MakerWhitePoint.of(
        MakerWhitePoint.neutral(levels[0] - black[0], green, levels[3] - black[3]),
        0,
        "Samsung WB_RGGBLevels (0xA021, 0xA028)");
  }
}
