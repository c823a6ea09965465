package samelight.engine.metadata;

import java.util.Collections;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import samelight.engine.frame.Finding;
import samelight.engine.frame.Frame;

/**
 * What a folder tree holds.
 *
 * @param frames frames by path; a raw+JPEG pair once, by its raw
 * @param files every file under the shoot and its one category, by path
 * @param stamps the stamp of each file that was read as a picture: frames, JPEGs of pairs and
 *     unreadable ones
 * @param findings all findings: those of the frames, of files without a frame, and of the shoot
 */
public record ShootReading(
    List<Frame> frames,
    SortedMap<String, Category> files,
    SortedMap<String, FileStamp> stamps,
    List<Finding> findings) {
  /** Copies its collections. */
  public ShootReading {
    frames = List.copyOf(frames);
    files = Collections.unmodifiableSortedMap(new TreeMap<>(files));
    stamps = Collections.unmodifiableSortedMap(new TreeMap<>(stamps));
    findings = List.copyOf(findings);
  }

  /** How many files each category has; every category is there. */
  public Map<Category, Integer> counts() {
    Map<Category, Integer> counts = new EnumMap<>(Category.class);
    for (Category c : Category.values()) {
      counts.put(c, 0);
    }
    files.values().forEach(c -> counts.merge(c, 1, Integer::sum));
    return counts;
  }
}
