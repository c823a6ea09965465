package samelight.engine.delivery;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicInteger;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.CouldNotWriteException;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.metadata.ReadProgress;

/**
 * A delivery from beginning to end: look at the exports, say what is wrong, copy what is right into
 * a new state of the gallery, verify it, put it in place, and note it in the shoot's books. The
 * page to look through is made when the gallery stands.
 */
public final class Deliver {
  /**
   * A section of more pictures than this is tiring to look through (common practice, no source).
   */
  private static final int LARGE_SECTION = 400;

  /** Version of the way in which pictures are made, so that a change of it makes them anew. */
  private static final String WAY = "1";

  /** Room that is left on the drive beside the pictures, bytes. */
  private static final long SPARE = 64L << 20;

  private final DeliverRequest request;
  private final DeliverRequest.Options options;
  private final Map<String, Integer> trailing = new ConcurrentHashMap<>();
  private final List<DeliveryFinding> late = new ArrayList<>();
  private final Map<String, String> further = new ConcurrentHashMap<>();
  private final AtomicInteger copied = new AtomicInteger();

  private Deliver(DeliverRequest request) {
    this.request = request;
    this.options = request.options();
  }

  /**
   * Delivers; the caller holds the shoot's lock.
   *
   * @param reading told how many exports were looked at
   * @param copying told how many pictures are ready
   * @param paging told how many small pictures the page has; first with 0 once the gallery stands
   * @throws RefusedInputException if a folder is refused; nothing was written
   * @throws CouldNotWriteException if the gallery can't be written; what was there is untouched. If
   *     only its page can't, the pictures stand
   */
  public static DeliverResult run(
      DeliverRequest request, ReadProgress reading, ReadProgress copying, ReadProgress paging) {
    return new Deliver(request).run(reading, copying, paging);
  }

  private DeliverResult run(ReadProgress reading, ReadProgress copying, ReadProgress paging) {
    DeliveryFolders folders = DeliveryFolders.of(request);
    Path name = request.shoot().getFileName();
    String title = name == null ? "shoot" : name.toString();
    Gallery gallery = Gallery.open(folders.to(), title, options.kind());
    ExportFolder exports = ExportFolder.read(folders.from(), reading);
    Check check = Check.of(request, folders.from(), exports);
    List<GalleryEntry> entries = check.entries();
    boolean stopped = entries.isEmpty() || (!check.findings().isEmpty() && !options.withFindings());
    if (stopped) {
      return result(null, check, exports, List.of(), 0);
    }
    if (!room(gallery, entries)) {
      long needed = entries.stream().mapToLong(e -> e.head().size()).sum() + SPARE;
      throw new CouldNotWriteException(
          folders.to().toString(),
          "the drive must have room for the gallery",
          "less than " + (needed >> 20) + " MB free",
          "Free some space on that drive, then run the command again");
    }
    try {
      gallery.begin();
      List<GalleryManifest.Line> lines = copy(folders.from(), gallery, entries, copying);
      if (lines.isEmpty() || (!late.isEmpty() && !options.withFindings())) {
        gallery.discard();
        return result(null, check, exports, List.of(), 0);
      }
      int gone = gallery.gone(lines).size();
      GalleryManifest old = gallery.old();
      GalleryManifest now;
      if (old != null && stands(gallery, lines)) {
        gallery.discard();
        now = old;
      } else {
        keepSmall(gallery, lines);
        now = gallery.publish(lines, new TreeMap<>(further));
      }
      Delivery delivery =
          new Delivery(
              Instant.now(),
              folders.from().toString(),
              folders.to().toString(),
              options.kind(),
              lines.stream().map(GalleryManifest.Line::file).toList());
      DeliveryLog.add(ShootPaths.of(request.shoot()), delivery);
      if (options.page()) {
        late.addAll(
            GalleryPage.make(
                gallery, now, folders.from(), title, delivered(entries, lines), paging));
      }
      return result(delivery, check, exports, lines, gone);
    } catch (IOException e) {
      throw DurableFile.couldNotWrite(folders.to(), e);
    }
  }

  /** Takes the small pictures that an earlier page has of these into the new state. */
  private void keepSmall(Gallery gallery, List<GalleryManifest.Line> lines) throws IOException {
    GalleryManifest old = gallery.old();
    if (old == null || !options.page()) {
      return;
    }
    for (GalleryManifest.Line l : lines) {
      String name = PageFiles.small(l.file().sha256());
      String known = old.others().get(name);
      if (known != null && !further.containsKey(name) && gallery.isSound(name, known)) {
        gallery.take(name, known, gallery.staged(name));
        further.put(name, known);
      }
    }
  }

  private static List<GalleryEntry> delivered(
      List<GalleryEntry> entries, List<GalleryManifest.Line> lines) {
    Set<String> names = new HashSet<>();
    lines.forEach(l -> names.add(l.file().name()));
    return entries.stream().filter(e -> names.contains(e.name())).toList();
  }

  private static boolean room(Gallery gallery, List<GalleryEntry> entries) {
    long needed = SPARE;
    for (GalleryEntry e : entries) {
      needed += e.head().size();
    }
    Path parent = gallery.folder().getParent();
    try {
      FileStore store = Files.getFileStore(parent == null ? gallery.folder() : parent);
      if (gallery.old() != null) {
        return store.getUsableSpace() > SPARE; // most of it is there already
      }
      return store.getUsableSpace() > needed;
    } catch (IOException e) {
      return true; // a full drive shows while writing
    }
  }

  private List<GalleryManifest.Line> copy(
      Path from, Gallery gallery, List<GalleryEntry> entries, ReadProgress copying)
      throws IOException {
    for (GalleryEntry e : entries) {
      gallery.staged(e.name());
    }
    List<GalleryManifest.Line> lines = new ArrayList<>();
    InParallel.map(entries, e -> Optional.ofNullable(line(from, gallery, e)), copying)
        .forEach(line -> line.ifPresent(lines::add));
    return lines;
  }

  /** One picture of the new state, or null where its export turned out to be damaged. */
  private GalleryManifest.@Nullable Line line(Path from, Gallery gallery, GalleryEntry e)
      throws IOException {
    ExportHead head = e.head();
    String made = made(e);
    Path staged = gallery.stage().resolve(e.name());
    GalleryManifest.Line before = gallery.made(head, e.frame(), made);
    String sha256;
    long size;
    if (before != null) {
      sha256 = before.file().sha256();
      size = before.size();
      gallery.take(before.file().name(), sha256, staged);
    } else {
      try {
        PictureCopy.Copied done = PictureCopy.copy(from.resolve(head.path()), staged, e, options);
        sha256 = done.sha256();
        size = done.size();
        if (done.trailing() > 0) {
          trailing.put(head.path(), (int) Math.min(Integer.MAX_VALUE, done.trailing()));
        }
        copied.incrementAndGet();
      } catch (JpegStream.Damaged d) {
        synchronized (late) {
          late.add(Check.damaged(head.path(), String.valueOf(d.getMessage())));
        }
        return null;
      }
    }
    web(from, gallery, e, before);
    return new GalleryManifest.Line(
        new DeliveredFile(e.frame(), head.path(), e.name(), sha256),
        size,
        head.size(),
        head.modifiedMillis(),
        made,
        e.section(),
        e.number(),
        e.variant(),
        e.opening());
  }

  /** Makes the size for the web, where one is asked for. */
  private void web(
      Path from, Gallery gallery, GalleryEntry e, GalleryManifest.@Nullable Line before)
      throws IOException {
    if (options.web() == 0) {
      return;
    }
    String folder = PageFiles.web(options.web()) + "/";
    String name = folder + e.name();
    GalleryManifest old = gallery.old();
    String was = before == null ? "" : folder + before.file().name();
    String known = old == null ? null : old.others().get(was);
    if (known != null && gallery.isSound(was, known)) {
      gallery.take(was, known, gallery.staged(name));
      further.put(name, known);
      return;
    }
    Path export = from.resolve(e.head().path());
    byte[] encoded = SmallPicture.web(export, e.head(), options.web());
    byte[] bytes = Files.readAllBytes(export);
    byte[] dressed = PictureCopy.dressed(encoded, JpegStream.head(bytes, bytes.length), e, options);
    further.put(name, gallery.write(name, out -> out.write(dressed)));
  }

  private String made(GalleryEntry e) {
    String how =
        String.join(
            "\n",
            WAY,
            String.valueOf(options.strip()),
            options.copyright(),
            String.valueOf(options.embedSrgb()),
            options.strip() ? String.valueOf(e.taken()) : "");
    return ContentHash.of(how.getBytes(StandardCharsets.UTF_8)).substring(0, 16);
  }

  /** Whether the gallery holds just these pictures and sizes for the web, byte for byte. */
  private boolean stands(Gallery gallery, List<GalleryManifest.Line> lines) {
    GalleryManifest old = gallery.old();
    if (old == null || !old.pictures().equals(lines)) {
      return false;
    }
    boolean same = true;
    for (GalleryManifest.Line l : lines) {
      same &= gallery.isSound(l.file().name(), l.file().sha256());
    }
    boolean page = false;
    for (Map.Entry<String, String> e : old.others().entrySet()) {
      boolean own = PageFiles.ofPage(e.getKey());
      page |= own;
      same &= own || gallery.isSound(e.getKey(), e.getValue());
    }
    return same && (options.page() || !page) && PageFiles.webOf(old).equals(wantedWeb());
  }

  private Set<String> wantedWeb() {
    return options.web() == 0 ? Set.of() : Set.of(PageFiles.web(options.web()));
  }

  private DeliverResult result(
      @Nullable Delivery delivery,
      Check check,
      ExportFolder exports,
      List<GalleryManifest.Line> lines,
      int gone) {
    List<DeliveryFinding> findings = new ArrayList<>(check.findings());
    findings.addAll(late);
    findings.sort(
        java.util.Comparator.comparing(DeliveryFinding::kind).thenComparing(DeliveryFinding::file));
    List<String> notes = new ArrayList<>(check.notes());
    Map<String, Integer> sections = new HashMap<>();
    for (GalleryManifest.Line l : lines) {
      String file = l.file().name();
      sections.merge(file.substring(0, file.lastIndexOf('/')), 1, Integer::sum);
    }
    new TreeMap<>(sections)
        .forEach(
            (folder, n) -> {
              if (n > LARGE_SECTION) {
                notes.add(
                    folder
                        + " has "
                        + n
                        + " pictures: a few hundred are easier to look through; split it with"
                        + " `samelight split` and `samelight name`");
              }
            });
    if (!trailing.isEmpty()) {
      notes.add(
          trailing.size()
              + " exports had further data behind the picture, such as a second picture; these were"
              + " left out");
    }
    if (!exports.others().isEmpty()) {
      notes.add(
          exports.others().size()
              + " files in the folder of exports are no JPEGs and were left out, the first: "
              + exports.others().get(0));
    }
    return new DeliverResult(
        delivery,
        findings,
        notes,
        exports.heads().size(),
        check.kept(),
        copied.get(),
        lines.size() - Math.min(lines.size(), copied.get()),
        gone,
        new TreeMap<>(sections));
  }
}
