package samelight.engine.frame;

import java.nio.ByteBuffer;
import java.util.Objects;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;

/**
 * The frame at thumbnail size, as rendered by the camera: 8-bit sRGB code values, upright or not as
 * stored, without black bars. Immutable by convention: callers must not change {@link #rgb}. The
 * pixels may lie outside the heap and be fetched when first looked at, so that a shoot of 100,000
 * frames fits into memory; two images are equal if their pixels are.
 */
public final class SmallImage {
  private final int width;
  private final int height;
  private final Supplier<ByteBuffer> source;
  private volatile @Nullable ByteBuffer pixels;

  /**
   * An image with its pixels at hand.
   *
   * @param width pixels, 1 to 512
   * @param height pixels, 1 to 512
   * @param rgb width x height x 3 bytes, rows from the top, R G B
   * @throws IllegalArgumentException if sizes are out of range or don't fit the bytes
   */
  public SmallImage(int width, int height, byte[] rgb) {
    this(width, height, () -> ByteBuffer.wrap(rgb));
    pixels();
  }

  /**
   * An image whose pixels are fetched when first looked at.
   *
   * @param width pixels, 1 to 512
   * @param height pixels, 1 to 512
   * @param source gives the pixels, width x height x 3 bytes from position 0; may be asked more
   *     than once, by any thread
   * @throws IllegalArgumentException if sizes are out of range
   */
  public SmallImage(int width, int height, Supplier<ByteBuffer> source) {
    if (width < 1 || width > 512 || height < 1 || height > 512) {
      throw new IllegalArgumentException(
          "small image sides must lie within 1 and 512, were " + width + " x " + height);
    }
    this.width = width;
    this.height = height;
    this.source = Objects.requireNonNull(source);
  }

  /** Pixels in a row. */
  public int width() {
    return width;
  }

  /** Rows. */
  public int height() {
    return height;
  }

  /**
   * All code values, rows from the top, R G B; a copy where the pixels lie outside the heap.
   *
   * @throws IllegalArgumentException if the source's bytes don't fit the sizes
   */
  public byte[] rgb() {
    ByteBuffer p = pixels();
    if (p.hasArray() && p.arrayOffset() == 0 && p.array().length == p.limit()) {
      return p.array();
    }
    byte[] copy = new byte[p.limit()];
    p.get(0, copy);
    return copy;
  }

  /**
   * One code value.
   *
   * @param channel 0 red, 1 green, 2 blue
   * @return 0 to 255
   */
  public int code(int x, int y, int channel) {
    return pixels().get((y * width + x) * 3 + channel) & 0xFF;
  }

  private ByteBuffer pixels() {
    ByteBuffer p = pixels;
    if (p == null) {
      p = source.get();
      if (p.limit() != width * height * 3) {
        throw new IllegalArgumentException(
            "small image needs " + width * height * 3 + " bytes, had " + p.limit());
      }
      pixels = p;
    }
    return p;
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof SmallImage that
        && width == that.width
        && height == that.height
        && pixels().equals(that.pixels());
  }

  @Override
  public int hashCode() {
    return 31 * (31 * width + height) + pixels().hashCode();
  }

  @Override
  public String toString() {
    return "SmallImage[" + width + " x " + height + "]";
  }
}
