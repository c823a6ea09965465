package samelight.engine.delivery;

import java.time.LocalDateTime;
import org.jspecify.annotations.Nullable;

/**
 * What is known of an exported JPEG before it is matched with a frame.
 *
 * @param path relative to the folder of exports, with {@code /}
 * @param taken Exif DateTimeOriginal, with its fraction where there is one, or null
 * @param subSecond whether {@code taken} has a fraction
 * @param make Exif Make, or empty
 * @param model Exif Model, or empty
 * @param serial Exif BodySerialNumber, or null
 */
public record Export(
    String path,
    @Nullable LocalDateTime taken,
    boolean subSecond,
    String make,
    String model,
    @Nullable String serial) {

  /** An export of which only the name is known. */
  public static Export named(String path) {
    return new Export(path, null, false, "", "", null);
  }

  /** The file name without folder and last extension. */
  public String stem() {
    String name = path.substring(path.lastIndexOf('/') + 1);
    int dot = name.lastIndexOf('.');
    return dot > 0 ? name.substring(0, dot) : name;
  }

  /** Its folder, or empty. */
  String folder() {
    int slash = path.lastIndexOf('/');
    return slash < 0 ? "" : path.substring(0, slash);
  }
}
