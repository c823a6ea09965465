package samelight.engine.delivery;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;
import samelight.engine.metadata.ReadProgress;

/**
 * The page to look through and the contact sheet of a gallery that stands. Every picture is decoded
 * for them, which takes longer than its copying did, and shows damage that its structure doesn't.
 */
final class GalleryPage {
  private final Gallery gallery;
  private final GalleryManifest now;
  private final Path exports;

  /** Name of the small picture of each picture. */
  private final Map<String, String> small = new LinkedHashMap<>();

  /** Hash of each small picture that is there. */
  private final Map<String, String> hashes = new ConcurrentHashMap<>();

  private GalleryPage(Gallery gallery, GalleryManifest now, Path exports) {
    this.gallery = gallery;
    this.now = now;
    this.exports = exports;
    now.pictures().forEach(l -> small.put(l.file().name(), PageFiles.small(l.file().sha256())));
  }

  /**
   * Makes what is missing of it and adds it to the gallery; nothing where all of it is there.
   *
   * @param now the gallery as it stands
   * @param exports folder of the exports
   * @param shown the pictures that were delivered, in order
   * @param progress told how many small pictures are there, first 0
   * @return the exports that can't be decoded; their pictures have no small one
   */
  static List<DeliveryFinding> make(
      Gallery gallery,
      GalleryManifest now,
      Path exports,
      String title,
      List<GalleryEntry> shown,
      ReadProgress progress)
      throws IOException {
    return new GalleryPage(gallery, now, exports).make(title, shown, progress);
  }

  private List<DeliveryFinding> make(String title, List<GalleryEntry> shown, ReadProgress progress)
      throws IOException {
    Map<String, GalleryEntry> missing = missing(shown);
    if (missing.isEmpty() && isThere(PageFiles.INDEX) && isThere(PageFiles.SHEET)) {
      return List.of();
    }
    progress.read(0, missing.size());
    gallery.begin();
    List<Map.Entry<String, GalleryEntry>> work = List.copyOf(missing.entrySet());
    List<DeliveryFinding> findings = new ArrayList<>();
    InParallel.map(work, e -> decode(e.getKey(), e.getValue()), progress)
        .forEach(finding -> finding.ifPresent(findings::add));
    Map<String, String> fresh = new TreeMap<>(hashes);
    fresh.keySet().retainAll(missing.keySet());
    small.values().retainAll(hashes.keySet());
    DayPage page = DayPage.of(title, shown, small);
    fresh.put(PageFiles.INDEX, gallery.write(PageFiles.INDEX, page::write));
    fresh.put(
        PageFiles.SHEET,
        gallery.write(
            PageFiles.SHEET,
            out -> ContactSheet.write(out, title, shown, e -> file(e, missing.keySet()))));
    gallery.add(now, fresh);
    return findings;
  }

  /** Small pictures that aren't there, with a picture that each is of. */
  private Map<String, GalleryEntry> missing(List<GalleryEntry> shown) {
    Map<String, GalleryEntry> missing = new LinkedHashMap<>();
    for (GalleryEntry e : shown) {
      String name = small.get(e.name());
      if (name != null && !hashes.containsKey(name) && !missing.containsKey(name)) {
        if (isThere(name)) {
          hashes.put(name, now.others().getOrDefault(name, ""));
        } else {
          missing.put(name, e);
        }
      }
    }
    return missing;
  }

  private boolean isThere(String name) {
    String known = now.others().get(name);
    return known != null && gallery.isSound(name, known);
  }

  /** Makes a small picture; says what is wrong where the export can't be decoded. */
  private Optional<DeliveryFinding> decode(String name, GalleryEntry e) throws IOException {
    Optional<byte[]> jpeg = SmallPicture.page(exports.resolve(e.head().path()), e.head());
    if (jpeg.isEmpty()) {
      return Optional.of(
          Check.damaged(
              e.head().path(),
              "can't be decoded to its end, and stands in the gallery as " + e.name()));
    }
    hashes.put(name, gallery.write(name, out -> out.write(jpeg.get())));
    return Optional.empty();
  }

  /** Where the small picture of a picture lies, or null where there is none. */
  private @Nullable Path file(GalleryEntry e, Set<String> made) {
    String name = small.get(e.name());
    return name == null
        ? null
        : (made.contains(name) ? gallery.stage() : gallery.folder()).resolve(name);
  }
}
