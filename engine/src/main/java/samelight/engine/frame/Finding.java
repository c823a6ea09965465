package samelight.engine.frame;

import org.jspecify.annotations.Nullable;

/**
 * Something wrong or missing in a file, and what was done about it.
 *
 * @param file path relative to the shoot
 * @param offset byte offset, or null where not known
 * @param rule what should hold, e.g. "capture time present (Exif DateTimeOriginal)"
 * @param actual what was found instead
 * @param action what the tool did, e.g. "ordered by file number between A and B"
 */
public record Finding(
    String file, @Nullable Long offset, String rule, String actual, String action) {
  @Override
  public String toString() {
    return file
        + (offset == null ? "" : " @" + offset)
        + ": "
        + rule
        + "; found "
        + actual
        + "; "
        + action;
  }
}
