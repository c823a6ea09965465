package samelight.engine.metadata;

import java.nio.file.Path;
import java.util.List;
import samelight.engine.frame.Finding;

/** Reads one file as a frame. */
public final class FrameReader {
  /**
   * Reads a file.
   *
   * @param shoot the shoot's folder; paths in the result are relative to it
   * @param file a file under it
   * @return the frame, or the findings that say why there is none; never throws for what is in a
   *     file
   */
  public Reading read(Path shoot, Path file) {
    String name = shoot.relativize(file).toString().replace('\\', '/');
    return new Reading(
        null, List.of(new Finding(name, null, "a readable picture", "not read yet", "left out")));
  }
}
