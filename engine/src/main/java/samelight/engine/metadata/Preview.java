package samelight.engine.metadata;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import samelight.engine.frame.EmbeddedJpeg;
import samelight.engine.frame.SmallImage;

/**
 * A frame's embedded picture at a size to be looked at. The file is only read, within the bounds
 * that hold for reading frames.
 */
public final class Preview {
  private Preview() {}

  /**
   * Decodes an embedded JPEG.
   *
   * @param file the frame's file
   * @param jpeg where the JPEG lies in it
   * @param side pixels of the longer side at most, 1 to 512; a smaller JPEG keeps its size
   * @return as stored, not turned; empty where the file is gone or the JPEG can't be decoded whole
   */
  public static Optional<SmallImage> read(Path file, EmbeddedJpeg jpeg, int side) {
    Budget budget = new Budget();
    budget.allow(jpeg.length());
    try (ByteSource source = ByteSource.open(file, budget)) {
      ReducedJpeg.Pixels p = ReducedJpeg.decode(source, jpeg.offset(), jpeg.length(), side);
      return p.decoded() < 0.999
          ? Optional.empty()
          : Optional.of(SmallPicture.fit(p.rgb(), p.width(), p.height(), side));
    } catch (IOException | RuntimeException e) {
      return Optional.empty(); // another program's file may have changed since it was read
    }
  }
}
