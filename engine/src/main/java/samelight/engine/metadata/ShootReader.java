package samelight.engine.metadata;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.TreeMap;

/** Reads a shoot: all frames under a folder, and what else lies there. */
public final class ShootReader {
  /**
   * Reads a shoot. The folder {@code samelight} at its top is ours and isn't looked into; links are
   * not followed.
   *
   * @param shoot an existing folder
   * @param known what an earlier run read
   * @param progress told how far it is
   * @return frames, files and findings, in the order of their paths
   * @throws NoSuchShootException if {@code shoot} isn't a folder that can be listed
   * @throws IOException if listing fails on the way
   */
  public ShootReading read(Path shoot, ReadingCache known, ReadProgress progress)
      throws IOException {
    if (!Files.isDirectory(shoot)) {
      throw new NoSuchShootException(
          shoot, Files.exists(shoot) ? "not a folder" : "no such folder");
    }
    return new ShootReading(List.of(), new TreeMap<>(), new TreeMap<>(), List.of());
  }
}
