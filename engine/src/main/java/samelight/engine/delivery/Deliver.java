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
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicInteger;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.CouldNotWriteException;
import samelight.engine.files.DurableFile;
import samelight.engine.files.NamedThreads;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootPaths;
import samelight.engine.metadata.ReadProgress;

/**
 * A delivery from beginning to end: look at the exports, say what is wrong, copy what is right into
 * a new state of the gallery, verify it, put it in place, and note it in the shoot's books.
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

  /** At least so many at a time, since each waits for the drive as well as for a core. */
  private static final int WORKERS = 4;

  private final DeliverRequest request;
  private final DeliverRequest.Options options;
  private final Map<String, Integer> trailing = new ConcurrentHashMap<>();
  private final List<DeliveryFinding> late = new ArrayList<>();
  private final Map<String, String> small = new ConcurrentHashMap<>();
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
   * @param copying told how many pictures are in place
   * @throws RefusedInputException if a folder is refused; nothing was written
   * @throws CouldNotWriteException if the gallery can't be written; what was there is untouched
   */
  public static DeliverResult run(
      DeliverRequest request, ReadProgress reading, ReadProgress copying) {
    return new Deliver(request).run(reading, copying);
  }

  private DeliverResult run(ReadProgress reading, ReadProgress copying) {
    DeliveryFolders folders = DeliveryFolders.of(request);
    Path name = request.shoot().getFileName();
    Gallery gallery =
        Gallery.open(folders.to(), name == null ? "shoot" : name.toString(), options.kind());
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
      if (unchanged(gallery, lines)) {
        gallery.discard();
      } else {
        page(gallery, entries, lines);
        gallery.publish(lines, new TreeMap<>(further));
      }
      Delivery delivery =
          new Delivery(
              Instant.now(),
              folders.from().toString(),
              folders.to().toString(),
              options.kind(),
              lines.stream().map(GalleryManifest.Line::file).toList());
      DeliveryLog.add(ShootPaths.of(request.shoot()), delivery);
      return result(delivery, check, exports, lines, gone);
    } catch (IOException e) {
      throw DurableFile.couldNotWrite(folders.to(), e);
    }
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
    ExecutorService workers =
        NamedThreads.several(
            "deliver", Math.max(WORKERS, Runtime.getRuntime().availableProcessors()));
    List<GalleryManifest.Line> lines = new ArrayList<>();
    try {
      List<Future<GalleryManifest.@Nullable Line>> pending = new ArrayList<>();
      for (GalleryEntry e : entries) {
        pending.add(workers.submit(() -> line(from, gallery, e)));
      }
      int done = 0;
      for (Future<GalleryManifest.@Nullable Line> f : pending) {
        GalleryManifest.Line line = f.get();
        if (line != null) {
          lines.add(line);
        }
        copying.read(++done, entries.size());
      }
      return lines;
    } catch (ExecutionException e) {
      workers.shutdownNow();
      if (e.getCause() instanceof IOException io) {
        throw io;
      }
      throw new IllegalStateException(e.getCause());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IOException("it was interrupted", e);
    } finally {
      workers.shutdown();
    }
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
    if (!small(from, gallery, e, sha256)) {
      synchronized (late) {
        late.add(Check.damaged(head.path(), "can't be decoded to its end"));
      }
      Files.delete(staged);
      return null;
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

  /** Makes the picture for the page; false where the export can't be decoded. */
  private boolean small(Path from, Gallery gallery, GalleryEntry e, String sha256)
      throws IOException {
    if (!options.page()) {
      return true;
    }
    String name = PageFiles.SMALL + "/" + sha256.substring(0, 24) + ".jpg";
    small.put(e.name(), name);
    if (further.putIfAbsent(name, "") != null) {
      return true; // of an export with the same bytes
    }
    GalleryManifest old = gallery.old();
    String known = old == null ? null : old.others().get(name);
    if (known != null && gallery.isSound(name, known)) {
      gallery.take(name, known, gallery.staged(name));
      further.put(name, known);
      return true;
    }
    Optional<byte[]> jpeg = SmallPicture.page(from.resolve(e.head().path()), e.head());
    if (jpeg.isEmpty()) {
      further.remove(name);
      small.remove(e.name());
      return false;
    }
    further.put(name, gallery.write(name, out -> out.write(jpeg.get())));
    return true;
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

  private void page(Gallery gallery, List<GalleryEntry> entries, List<GalleryManifest.Line> lines)
      throws IOException {
    if (!options.page()) {
      return;
    }
    Set<String> delivered = new HashSet<>();
    lines.forEach(l -> delivered.add(l.file().name()));
    List<GalleryEntry> shown = entries.stream().filter(e -> delivered.contains(e.name())).toList();
    Path name = request.shoot().getFileName();
    String title = name == null ? "The day" : name.toString();
    DayPage page = DayPage.of(title, shown, small);
    further.put(PageFiles.INDEX, gallery.write(PageFiles.INDEX, page::write));
    further.put(
        PageFiles.SHEET,
        gallery.write(
            PageFiles.SHEET, out -> ContactSheet.write(out, title, shown, gallery.stage(), small)));
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

  private boolean unchanged(Gallery gallery, List<GalleryManifest.Line> lines) {
    GalleryManifest old = gallery.old();
    if (old == null || !old.pictures().equals(lines)) {
      return false;
    }
    boolean same = true;
    for (GalleryManifest.Line l : lines) {
      same &= gallery.isSound(l.file().name(), l.file().sha256());
    }
    for (Map.Entry<String, String> e : old.others().entrySet()) {
      same &= gallery.isSound(e.getKey(), e.getValue());
    }
    return same && PageFiles.wanted(options, lines).equals(PageFiles.have(old));
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
