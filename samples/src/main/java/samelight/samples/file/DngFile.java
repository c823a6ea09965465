package samelight.samples.file;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import samelight.samples.light.Matrix3;

/** A small linear DNG 1.4: preview in the first directory, raw values in a sub-directory. */
public final class DngFile {

  /** WhiteLevel of the raw values. */
  public static final int WHITE_LEVEL = 16383;

  private DngFile() {}

  /** The raw half of a frame. */
  public static final class Raw {
    private final int width;
    private final int height;
    private final short[] values;
    private final double[] neutral;
    private final Matrix3 lampMatrix;
    private final Matrix3 dayMatrix;

    /**
     * Takes over the arrays without a copy.
     *
     * @param width in pixels
     * @param height in pixels
     * @param values linear camera red, green, blue, 0 to {@link #WHITE_LEVEL}
     * @param neutral AsShotNeutral
     * @param lampMatrix ColorMatrix1, for standard illuminant A
     * @param dayMatrix ColorMatrix2, for D65
     */
    public Raw(
        int width,
        int height,
        short[] values,
        double[] neutral,
        Matrix3 lampMatrix,
        Matrix3 dayMatrix) {
      this.width = width;
      this.height = height;
      this.values = values;
      this.neutral = neutral;
      this.lampMatrix = lampMatrix;
      this.dayMatrix = dayMatrix;
    }
  }

  /** Bytes of the file, little-endian. */
  public static byte[] encode(FrameTags tags, Picture preview, Raw raw, JpegEncoder encoder) {
    ByteBuffer values = ByteBuffer.allocate(2 * raw.values.length).order(ByteOrder.LITTLE_ENDIAN);
    values.asShortBuffer().put(raw.values);
    Ifd sub =
        new Ifd()
            .longs(0x00FE, 0)
            .longs(0x0100, raw.width)
            .longs(0x0101, raw.height)
            .shorts(0x0102, 16, 16, 16)
            .shorts(0x0103, 1)
            .shorts(0x0106, 34892)
            .shorts(0x0115, 3)
            .longs(0x0116, raw.height)
            .shorts(0x011C, 1)
            .longs(0xC61D, WHITE_LEVEL, WHITE_LEVEL, WHITE_LEVEL)
            .blob(0x0111, 0x0117, values.array());
    return ExifBlock.first(tags)
        .longs(0x00FE, 1)
        .longs(0x0100, preview.width())
        .longs(0x0101, preview.height())
        .shorts(0x0102, 8, 8, 8)
        .shorts(0x0103, 7)
        .shorts(0x0106, 6)
        .shorts(0x0115, 3)
        .longs(0x0116, preview.height())
        .shorts(0x011C, 1)
        .blob(0x0111, 0x0117, encoder.encode(preview, 0.85f))
        .child(0x014A, sub)
        .child(0x8769, ExifBlock.exif(tags))
        .bytes(0xC612, 1, 4, 0, 0)
        .bytes(0xC613, 1, 1, 0, 0)
        .ascii(0xC614, tags.maker() + " " + tags.model())
        .signedRationals(0xC621, tenThousandths(raw.lampMatrix.rows()))
        .signedRationals(0xC622, tenThousandths(raw.dayMatrix.rows()))
        .rationals(0xC628, millionths(raw.neutral))
        .signedRationals(0xC62A, 0, 1)
        .shorts(0xC65A, 17)
        .shorts(0xC65B, 21)
        .encode(ByteOrder.LITTLE_ENDIAN);
  }

  private static int[] tenThousandths(double[] v) {
    return scaled(v, 10_000);
  }

  private static int[] millionths(double[] v) {
    return scaled(v, 1_000_000);
  }

  private static int[] scaled(double[] v, int denominator) {
    int[] pairs = new int[2 * v.length];
    for (int i = 0; i < v.length; i++) {
      pairs[2 * i] = (int) StrictMath.round(v[i] * denominator);
      pairs[2 * i + 1] = denominator;
    }
    return pairs;
  }
}
