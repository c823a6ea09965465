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
   * What decoding gave.
   *
   * @param image as stored, not turned; empty where it can't be decoded whole
   * @param cut whether the JPEG is of a kind that is read, but its data end before its picture does
   */
  public record Decoded(Optional<SmallImage> image, boolean cut) {}

  /**
   * Decodes an embedded JPEG.
   *
   * @param file the frame's file
   * @param jpeg where the JPEG lies in it
   * @param side pixels of the longer side at most, 1 to 512; a smaller JPEG keeps its size
   * @return as stored, not turned; empty where the file is gone or the JPEG can't be decoded whole
   */
  public static Optional<SmallImage> read(Path file, EmbeddedJpeg jpeg, int side) {
    return decode(file, jpeg, side).image();
  }

  /**
   * Decodes an embedded JPEG and tells one that is cut off from one that isn't read.
   *
   * @param file the frame's file
   * @param jpeg where the JPEG lies in it
   * @param side pixels of the longer side at most, 1 to 512; a smaller JPEG keeps its size
   */
  public static Decoded decode(Path file, EmbeddedJpeg jpeg, int side) {
    Budget budget = new Budget();
    budget.allow(jpeg.length());
    try (ByteSource source = ByteSource.open(file, budget)) {
      ReducedJpeg.Pixels p = ReducedJpeg.decode(source, jpeg.offset(), jpeg.length(), side);
      boolean cut = p.decoded() < 0.999;
      return new Decoded(
          cut
              ? Optional.empty()
              : Optional.of(SmallPicture.fit(p.rgb(), p.width(), p.height(), side)),
          cut);
    } catch (IOException | RuntimeException e) {
      return new Decoded(
          Optional.empty(), false); // another program's file may have changed since it was read
    }
  }
}
