package samelight.engine.metadata;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;

/**
 * A file that lies in a shoot now.
 *
 * @param kind what it is by its name
 * @param size bytes, or -1 where it is no regular file or isn't a picture by its name
 * @param modifiedMillis last modification, milliseconds since 1970-01-01T00:00Z; 0 where {@code
 *     size} is -1
 */
public record ListedFile(NamedKind kind, long size, long modifiedMillis) {
  /**
   * Lists a shoot without reading any file, by the same rules as {@link ShootReader}: the folder
   * {@code samelight} at its top is ours, links are not followed.
   *
   * @return every file by its path relative to the shoot
   * @throws NoSuchShootException if it can't be listed at all
   * @throws IOException if listing fails on the way
   */
  public static SortedMap<String, ListedFile> of(Path shoot) throws IOException {
    if (!Files.isDirectory(shoot)) {
      throw new NoSuchShootException(shoot, "no such folder");
    }
    ShootFiles.Listing listing = ShootFiles.list(shoot.toRealPath());
    Map<String, ShootFiles.Candidate> pictures = new HashMap<>();
    listing.candidates().forEach(c -> pictures.put(c.name(), c));
    SortedMap<String, ListedFile> files = new TreeMap<>();
    for (String name : listing.files().keySet()) {
      ShootFiles.Candidate c = pictures.get(name);
      files.put(
          name,
          c == null
              ? new ListedFile(NamedKind.of(name), -1, 0)
              : new ListedFile(NamedKind.PICTURE, c.size(), c.modifiedMillis()));
    }
    return files;
  }
}
