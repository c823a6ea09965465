package samelight.engine.metadata;

import java.io.IOException;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import samelight.engine.frame.EmbeddedJpeg;

/**
 * Luma of a JPEG in a frame's file, at the size that a measurement needs.
 *
 * @param width pixels
 * @param height pixels
 * @param codes code values 0 to 255, rows from the top, as stored (not turned upright)
 */
@SuppressWarnings("ArrayRecordComponent") // handed on once, never compared
public record Luma(int width, int height, byte[] codes) {
  /**
   * Reads a picture at n/8 of its size, n the smallest of 1 to 8 that leaves the longer side at
   * least {@code minSide} pixels; a progressive picture at 1/8.
   *
   * @param file a frame's file
   * @param jpeg where in it; null where the file is itself a JPEG
   * @return null where it isn't a JPEG that is read, or is damaged
   * @throws IOException if the file can't be read
   */
  public static @Nullable Luma read(Path file, @Nullable EmbeddedJpeg jpeg, int minSide)
      throws IOException {
    try (ByteSource source = ByteSource.open(file, new Budget())) {
      long offset = jpeg == null ? 0 : jpeg.offset();
      long length = jpeg == null ? source.length() : jpeg.length();
      source.budget().allow(length);
      ReducedJpeg.Pixels p = ReducedJpeg.luma(source, offset, length, minSide);
      return p.decoded() < 1 ? null : new Luma(p.width(), p.height(), p.rgb());
    } catch (ReducedJpeg.Unsupported | Budget.Exceeded e) {
      return null;
    } catch (RuntimeException | StackOverflowError | OutOfMemoryError e) {
      return null;
    }
  }
}
