package samelight.engine.copies;

import java.io.IOException;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.UUID;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.atomic.AtomicLong;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.CouldNotWriteException;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.files.ShootLock;
import samelight.engine.files.ShootPaths;
import samelight.engine.frame.BodyId;
import samelight.engine.metadata.NamedKind;

/** Copies cards to all destinations at once, reads every copy back and compares. */
public final class Secure {
  /** Bytes that must stay free for lists and folders. */
  private static final long RESERVE = 64L << 20;

  /** A shoot of one name within so many days is the same shoot. */
  private static final long SAME_SHOOT_DAYS = 3;

  private static final int UNREADABLE_IN_A_ROW = 5;
  private static final int PICTURES_ASKED_FOR_DATE = 50;

  private final SecureRequest request;
  private final CopyProgress progress;
  private final List<Target> targets = new ArrayList<>();
  private final Map<String, BodyId> bodies = new HashMap<>();
  private final AtomicLong done = new AtomicLong();
  private @Nullable ReadBack cardReader;
  private long total;

  private Secure(SecureRequest request, CopyProgress progress) {
    this.request = request;
    this.progress = progress;
  }

  /**
   * Copies, reads back, compares and writes the manifests. What a destination or a card refuses is
   * told in the result, and the rest is done.
   *
   * @throws RefusedInputException if a card can't be read at all, or a destination is missing, is a
   *     card, lies in one, or is given twice; nothing was written
   * @throws CouldNotWriteException if a destination has too little space, before anything is
   *     copied, or can't be begun
   */
  public static SecureResult run(SecureRequest request, CopyProgress progress) {
    Secure run = new Secure(request, progress);
    try {
      return run.all();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new CouldNotWriteException(
          request.name(), "must not be interrupted", "an interruption", "Run the command again");
    } finally {
      run.close();
    }
  }

  /** What is to be done with one card. */
  private static final class Work {
    final Card card;
    final boolean twin;
    final Map<CardFile, List<Target>> needed = new LinkedHashMap<>();
    final Map<CardFile, CopyRecord> known = new HashMap<>();
    final Map<String, String> hashes = new TreeMap<>();
    final List<String> unreadable = new ArrayList<>();
    final Map<CardFile, CompletableFuture<String>> copied = new LinkedHashMap<>();
    int before;

    Work(Card card, boolean twin) {
      this.card = card;
      this.twin = twin;
      unreadable.addAll(card.unreadable());
    }
  }

  private SecureResult all() throws InterruptedException {
    List<Work> works = new ArrayList<>();
    for (Path card : request.cards()) {
      works.add(new Work(Card.list(card), false));
    }
    Path twin = request.twin();
    if (twin != null) {
      works.add(new Work(Card.list(twin), true));
    }
    refuseSameCards(works);
    List<Path> destinations = destinations(works);
    LocalDate date = date(works);
    open(destinations, works, date);
    for (Work work : works) {
      plan(work);
    }
    checkSpace(works);
    beginAll();
    for (Work work : works) {
      copy(work);
    }
    readBack(works);
    return result(works);
  }

  private static void refuseSameCards(List<Work> works) {
    Set<Path> roots = new HashSet<>();
    for (Work work : works) {
      for (Path other : roots) {
        if (other.startsWith(work.card.root()) || work.card.root().startsWith(other)) {
          throw new RefusedInputException(
              work.card.root().toString(),
              "each card must be given once, and none may lie in another",
              "also " + other,
              "Name each card's own folder");
        }
      }
      roots.add(work.card.root());
    }
  }

  private List<Path> destinations(List<Work> works) {
    List<Path> out = new ArrayList<>();
    for (Path to : request.destinations()) {
      Path real;
      try {
        real = to.toRealPath();
      } catch (IOException e) {
        throw new RefusedInputException(
            to.toString(),
            "a destination must be a folder that exists",
            DurableFile.reasonOf(e),
            "Check that its drive is there; where it is, make the folder first",
            e);
      }
      if (!Files.isDirectory(real)) {
        throw new RefusedInputException(
            to.toString(), "a destination must be a folder", "a file", "Name a folder");
      }
      for (Work work : works) {
        if (real.startsWith(work.card.root())) {
          throw new RefusedInputException(
              to.toString(),
              "a destination may be neither a card nor a folder on it",
              real.equals(work.card.root())
                  ? "the card " + work.card.root()
                  : "a folder on the card " + work.card.root(),
              "Name a folder on another drive");
        }
      }
      if (out.contains(real)) {
        throw new RefusedInputException(
            to.toString(), "each destination must be given once", "it twice", "Give it once");
      }
      out.add(real);
    }
    return out;
  }

  /** The date of the first picture that has one; else of the first file. */
  private static LocalDate date(List<Work> works) {
    Facts facts = new Facts(new HashMap<>());
    Long oldest = null;
    for (Work work : works) {
      int asked = 0;
      for (CardFile file : work.card.files()) {
        if (file.kind() == NamedKind.PICTURE && asked++ < PICTURES_ASKED_FOR_DATE) {
          LocalDateTime taken = facts.taken(file.path());
          if (taken != null) {
            return taken.toLocalDate();
          }
        }
        oldest = oldest == null ? file.modifiedMillis() : Math.min(oldest, file.modifiedMillis());
      }
    }
    Instant at = oldest == null ? Instant.now() : Instant.ofEpochMilli(oldest);
    return at.atZone(ZoneId.systemDefault()).toLocalDate();
  }

  /** A shoot's name as part of a folder's. */
  static String folderName(LocalDate date, String name) {
    String safe = name.strip().replaceAll("[^\\p{L}\\p{N}._-]+", "-").replaceAll("^[.-]+|-+$", "");
    return date + "-" + (safe.isEmpty() ? "shoot" : safe);
  }

  private void open(List<Path> destinations, List<Work> works, LocalDate date) {
    String id = UUID.randomUUID().toString();
    for (int i = 0; i < destinations.size(); i++) {
      Path folder = shootFolder(destinations.get(i), date);
      for (Work work : works) {
        if (work.card.root().startsWith(folder) || folder.startsWith(work.card.root())) {
          throw new RefusedInputException(
              folder.toString(),
              "a copied shoot and a card may not lie in each other",
              "the card " + work.card.root(),
              "Name another destination");
        }
      }
      try {
        if (!Files.isDirectory(folder)) {
          Files.createDirectory(folder);
        }
        ShootPaths paths = ShootPaths.of(folder);
        ShootLock lock = ShootLock.take(paths);
        boolean made = false;
        try {
          Manifest manifest =
              Manifest.exists(folder)
                  ? Manifest.read(paths)
                  : Manifest.make(paths, id, request.name(), date);
          id = manifest.id();
          Target target = new Target(paths, request.drives().of(folder), lock, manifest);
          target.clearStrays();
          targets.add(target);
          made = true;
        } finally {
          if (!made) {
            lock.close();
          }
        }
      } catch (IOException e) {
        throw DurableFile.couldNotWrite(folder, e);
      }
    }
    for (Target target : targets) {
      for (CopyRecord r : target.manifest().records().values()) {
        String body = r.body();
        if (body != null) {
          // Serial numbers aren't kept: a folder that was made before is taken for its body's own.
          bodies.putIfAbsent(body, new BodyId(body, "", "", null));
        }
      }
    }
  }

  /** The folder of the shoot of this name about this date, made before or to be made. */
  private Path shootFolder(Path destination, LocalDate date) {
    try (Stream<Path> list = Files.list(destination)) {
      for (Path folder : list.filter(Files::isDirectory).sorted().toList()) {
        if (!Files.isSymbolicLink(folder) && Manifest.exists(folder)) {
          Manifest m;
          try {
            m = Manifest.read(ShootPaths.of(folder));
          } catch (RefusedInputException damaged) {
            if (folder.endsWith(folderName(date, request.name()))) {
              throw damaged;
            }
            continue;
          }
          if (m.name().equals(request.name())
              && Math.abs(ChronoUnit.DAYS.between(m.date(), date)) <= SAME_SHOOT_DAYS) {
            return folder;
          }
        }
      }
    } catch (IOException e) {
      throw DurableFile.couldNotWrite(destination, e);
    }
    return destination.resolve(folderName(date, request.name()));
  }

  /** Finds which destinations lack which files. */
  private void plan(Work work) {
    for (CardFile file : work.card.files()) {
      List<Target> lacking = new ArrayList<>();
      String head = null;
      for (Target target : targets) {
        if (target.manifest().isEmpty()) {
          lacking.add(target);
          continue;
        }
        try {
          head = head == null ? HeadDigest.of(file.path()) : head;
        } catch (IOException e) {
          lacking.add(target); // the copy will meet and tell the same trouble
          continue;
        }
        CopyRecord known = target.manifest().of(file, head);
        if (known == null || !target.stands(known)) {
          lacking.add(target);
        } else {
          work.hashes.put(file.name(), known.sha256());
          work.known.putIfAbsent(file, known);
          if (known.verified() == null || target.touched(known)) {
            target.wantReadBack(known.path());
          }
        }
      }
      if (lacking.isEmpty()) {
        work.before++;
      } else {
        work.needed.put(file, lacking);
        total += file.size();
      }
    }
  }

  private void checkSpace(List<Work> works) {
    Map<FileStore, Long> wanted = new HashMap<>();
    for (Target target : targets) {
      long bytes = 0;
      for (Work work : works) {
        for (Map.Entry<CardFile, List<Target>> e : work.needed.entrySet()) {
          bytes += e.getValue().contains(target) ? e.getKey().size() : 0;
        }
      }
      try {
        FileStore store = Files.getFileStore(target.folder());
        long all = bytes + wanted.getOrDefault(store, 0L);
        wanted.put(store, all);
        long free = store.getUsableSpace();
        if (all > 0 && all + RESERVE > free) {
          throw new CouldNotWriteException(
              target.folder().toString(),
              "its drive must have room for " + ByteCount.text(all) + " of copies and " + ByteCount.text(RESERVE),
              ByteCount.text(free) + " free",
              "Free some space or name another drive; nothing was copied");
        }
      } catch (IOException e) {
        throw DurableFile.couldNotWrite(target.folder(), e);
      }
    }
  }

  private void beginAll() {
    List<String> places = targets.stream().map(t -> t.folder().toString()).toList();
    for (Target target : targets) {
      try {
        target.manifest().begin(places);
      } catch (IOException e) {
        throw DurableFile.couldNotWrite(target.folder(), e);
      }
    }
  }

  private void copy(Work work) throws InterruptedException {
    Facts facts = new Facts(bodies);
    for (CardFile file : work.card.files()) {
      if (!work.needed.containsKey(file)) {
        CopyRecord r = work.known.get(file);
        if (r != null) {
          facts.known(file, r);
        }
      }
    }
    int inARow = 0;
    try (CopyPipeline pipeline =
        new CopyPipeline(work.card.label(), facts, targets, this::readMore)) {
      for (Map.Entry<CardFile, List<Target>> e : work.needed.entrySet()) {
        CardFile file = e.getKey();
        List<Target> to = e.getValue().stream().filter(t -> t.broken() == null).toList();
        if (to.isEmpty()) {
          continue;
        }
        if (inARow >= UNREADABLE_IN_A_ROW || !Files.isDirectory(work.card.root())) {
          work.unreadable.add(file.name() + ": the card can't be read any more");
          continue;
        }
        try {
          if (!standsAlready(work, file, to)) {
            work.copied.put(file, pipeline.copy(file, to));
          }
          inARow = 0;
        } catch (IOException problem) {
          inARow++;
          work.unreadable.add(file.name() + ": " + DurableFile.reasonOf(problem));
        }
      }
      pipeline.finish();
    }
    work.copied.forEach((file, hash) -> work.hashes.put(file.name(), hash.join()));
  }

  private void readMore(long bytes) {
    progress.at(CopyProgress.Step.COPYING, done.addAndGet(bytes), total);
  }

  /**
   * Where every destination has a copy of this name and size, the card's file is only hashed first:
   * the same bytes, as on the two cards of one camera, are not written twice.
   */
  private boolean standsAlready(Work work, CardFile file, List<Target> to) throws IOException {
    List<CopyRecord> same = new ArrayList<>();
    for (Target target : to) {
      if (target.manifest().likely(file.fileName(), file.size()).isEmpty()) {
        return false;
      }
    }
    String hash = cardReader().hash(file.path(), n -> {}).sha256();
    for (Target target : to) {
      for (CopyRecord r : target.manifest().likely(file.fileName(), file.size())) {
        if (r.sha256().equals(hash) && target.stands(r)) {
          same.add(r);
          if (r.verified() == null) {
            target.wantReadBack(r.path());
          }
          break;
        }
      }
    }
    if (same.size() < to.size()) {
      return false;
    }
    work.before++;
    work.hashes.put(file.name(), hash);
    readMore(file.size());
    return true;
  }

  private void readBack(List<Work> works) throws InterruptedException {
    AtomicLong read = new AtomicLong();
    long all = 0;
    for (Target target : targets) {
      for (String path : target.toReadBack()) {
        CopyRecord r = target.manifest().at(path);
        all += r == null ? 0 : r.size();
      }
    }
    long sum = all;
    List<Thread> threads = new ArrayList<>();
    for (Target target : targets) {
      Thread thread =
          new Thread(
              () ->
                  readBack(
                      target,
                      n -> progress.at(CopyProgress.Step.READING_BACK, read.addAndGet(n), sum)),
              "samelight-read-back");
      thread.setDaemon(true);
      threads.add(thread);
      thread.start();
    }
    for (Thread thread : threads) {
      thread.join();
    }
    for (Work work : works) {
      SecureResult.CardResult card = cardResult(work);
      for (Target target : targets) {
        String line = card.label() == null ? card.why() : card.label();
        target
            .manifest()
            .card(
                new Manifest.CardNote(work.card.label(), line, card.mayBePutAway(), Instant.now()));
      }
    }
    for (Target target : targets) {
      try {
        target.manifest().finish();
      } catch (IOException e) {
        target.breakOff(e);
      } catch (CouldNotWriteException e) {
        target.breakOff(e.actual());
      }
    }
  }

  private static void readBack(Target target, java.util.function.LongConsumer read) {
    try (ReadBack reader = new ReadBack()) {
      int n = 0;
      for (String path : target.toReadBack()) {
        CopyRecord record = target.manifest().at(path);
        if (record == null) {
          continue;
        }
        String found;
        CopyRecord.ReadBackFrom from = CopyRecord.ReadBackFrom.DRIVE;
        try {
          ReadBack.Result result = reader.hash(target.folder().resolve(path), read);
          found = result.sha256();
          if (!result.direct()) {
            target.indirect();
            from = CopyRecord.ReadBackFrom.PERHAPS_CACHE;
          }
        } catch (IOException e) {
          if (!Files.isDirectory(target.folder())) {
            throw e;
          }
          found = DurableFile.reasonOf(e);
        }
        if (found.equals(record.sha256())) {
          target.verified(path, from);
        } else {
          target.setAside(path, "read back it differs from the card (" + found + ")");
        }
        if (++n % 100 == 0) {
          target.settle();
        }
      }
      target.settle();
    } catch (IOException e) {
      target.breakOff(e);
    } catch (RuntimeException e) {
      target.breakOff(e.toString());
    }
  }

  private SecureResult.CardResult cardResult(Work work) {
    String why = why(work);
    Card card = work.card;
    return new SecureResult.CardResult(
        card.root().toString(),
        why.isEmpty() ? label(work) : null,
        card.files().size(),
        card.bytes(),
        work.copied.size(),
        work.before,
        work.unreadable,
        card.odd(),
        why);
  }

  private String why(Work work) {
    if (!work.unreadable.isEmpty()) {
      return "Do NOT put this card away: "
          + work.unreadable.size()
          + " of its files could not be read";
    }
    for (Target target : targets) {
      String broken = target.broken();
      if (broken != null) {
        return "Do NOT put this card away: " + target.folder() + " could not be written: " + broken;
      }
      for (CardFile file : work.card.files()) {
        if (!isThere(work, file, target)) {
          return "Do NOT put this card away: " + file.name() + " is not safe in " + target.folder();
        }
      }
    }
    return "";
  }

  private static boolean isThere(Work work, CardFile file, Target target) {
    String hash = work.hashes.get(file.name());
    if (hash == null) {
      return false;
    }
    for (CopyRecord r : target.manifest().sameContent(hash)) {
      if (r.verified() != null && r.size() == file.size()) {
        return true;
      }
    }
    return false;
  }

  /** What to write on a card: shoot, date, bodies, card, range of frames, how many. */
  private String label(Work work) {
    Manifest manifest = targets.get(0).manifest();
    Map<String, List<String>> names = new TreeMap<>();
    for (CardFile file : work.card.files()) {
      String hash = work.hashes.get(file.name());
      if (file.kind() == NamedKind.PICTURE && hash != null) {
        String body = "";
        for (CopyRecord r : manifest.sameContent(hash)) {
          body = r.body() == null ? "" : r.body();
        }
        String name = file.fileName();
        int dot = name.lastIndexOf('.');
        names
            .computeIfAbsent(body, b -> new ArrayList<>())
            .add(dot > 0 ? name.substring(0, dot) : name);
      }
    }
    StringBuilder line = new StringBuilder(manifest.name() + " | " + manifest.date());
    if (names.isEmpty()) {
      line.append(" | no pictures");
    }
    names.forEach(
        (body, stems) -> {
          Set<String> frames = new java.util.TreeSet<>(stems);
          line.append(" | ").append(body.isEmpty() ? "unknown body" : body).append(" ");
          line.append(stems.get(0)).append(" to ").append(stems.get(stems.size() - 1));
          line.append(", ").append(frames.size()).append(frames.size() == 1 ? " frame" : " frames");
        });
    return line + " | card " + work.card.label() + (work.twin ? " (twin)" : "");
  }

  private SecureResult result(List<Work> works) {
    List<SecureResult.CardResult> cards = works.stream().map(this::cardResult).toList();
    List<SecureResult.PlaceResult> places = new ArrayList<>();
    for (Target target : targets) {
      int readBack = 0;
      for (CopyRecord r : target.manifest().records().values()) {
        readBack += r.verified() == null ? 0 : 1;
      }
      places.add(
          new SecureResult.PlaceResult(
              target.folder().toString(),
              target.drive().name(),
              target.direct(),
              readBack,
              target.clashes(),
              target.refused(),
              target.broken()));
    }
    List<String> twin = new ArrayList<>();
    for (Work work : works) {
      if (work.twin) {
        Map<String, String> first = new TreeMap<>();
        works.stream().filter(w -> !w.twin).forEach(w -> first.putAll(w.hashes));
        twin.addAll(Twins.compare(first, work.hashes));
      }
    }
    // a destination that broke off lacks frames that the card has
    Target whole = targets.stream().filter(t -> t.broken() == null).findFirst().orElse(targets.get(0));
    List<String> holes = Numbering.holes(whole.manifest().records().values()).stream().map(Numbering.Hole::toString).toList();
    return new SecureResult(cards, places, holes, twin, notes(works));
  }

  private List<String> notes(List<Work> works) {
    List<String> notes = new ArrayList<>();
    Map<String, List<String>> byDrive = new LinkedHashMap<>();
    for (Target target : targets) {
      byDrive
          .computeIfAbsent(target.drive().id(), d -> new ArrayList<>())
          .add(target.folder().toString());
    }
    byDrive.forEach(
        (drive, folders) -> {
          if (folders.size() > 1) {
            notes.add(
                String.join(" and ", folders)
                    + " lie on one drive: when it fails, all these copies are gone");
          }
        });
    for (Work work : works) {
      try {
        List<String> own = byDrive.get(request.drives().of(work.card.root()).id());
        if (own != null) {
          notes.add(
              String.join(" and ", own)
                  + " on the same drive as the card "
                  + work.card.root()
                  + ": no copy against that drive's failure");
        }
      } catch (IOException e) {
        // the card is gone by now, which was told
      }
    }
    return notes;
  }

  /** One for all files: its buffers are large. */
  private ReadBack cardReader() {
    ReadBack reader = cardReader;
    if (reader == null) {
      reader = new ReadBack();
      cardReader = reader;
    }
    return reader;
  }

  private void close() {
    ReadBack reader = cardReader;
    if (reader != null) {
      reader.close();
    }
    for (Target target : targets) {
      try {
        target.close();
      } catch (IOException | RuntimeException e) {
        target.breakOff(e.toString());
      }
    }
  }
}
