package samelight.engine.copies;

import java.nio.file.Path;
import samelight.engine.metadata.NamedKind;

/**
 * One file on a card.
 *
 * @param name path relative to the card with {@code /}; bytes that are no text in percent encoding
 *     (RFC 3986)
 * @param path where it is
 * @param size bytes
 * @param modifiedMillis last modification, milliseconds since 1970-01-01T00:00Z
 * @param kind what it is by its name
 */
record CardFile(String name, Path path, long size, long modifiedMillis, NamedKind kind) {
  /** The name without its folders. */
  String fileName() {
    return name.substring(name.lastIndexOf('/') + 1);
  }

  /** Folder and name without the last extension, in lower case. */
  String stem() {
    int dot = name.lastIndexOf('.');
    return (dot > name.lastIndexOf('/') ? name.substring(0, dot) : name)
        .toLowerCase(java.util.Locale.ROOT);
  }
}
