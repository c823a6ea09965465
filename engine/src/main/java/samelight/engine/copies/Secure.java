package samelight.engine.copies;

import java.io.IOException;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicLong;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.CouldNotWriteException;
import samelight.engine.files.DurableFile;
import samelight.engine.files.RefusedInputException;
import samelight.engine.frame.BodyId;

/** Copies cards to all destinations at once, reads every copy back and compares. */
public final class Secure {
  /** Bytes that must stay free for lists and folders. */
  private static final long RESERVE = 64L << 20;

  private static final int UNREADABLE_IN_A_ROW = 5;

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

  private SecureResult all() throws InterruptedException {
    List<CardWork> works = new ArrayList<>();
    for (Path card : request.cards()) {
      works.add(new CardWork(Card.list(card), false));
    }
    Path twin = request.twin();
    if (twin != null) {
      works.add(new CardWork(Card.list(twin), true));
    }
    new Destinations(request).open(works, targets);
    for (Target target : targets) {
      for (CopyRecord r : target.manifest().records().values()) {
        String body = r.body();
        if (body != null) {
          // Serial numbers aren't kept: a folder that was made before is taken for its body's own.
          bodies.putIfAbsent(body, new BodyId(body, "", "", null));
        }
      }
    }
    for (CardWork work : works) {
      plan(work);
    }
    checkSpace(works);
    beginAll();
    for (CardWork work : works) {
      copy(work);
    }
    SecureSummary summary = new SecureSummary(targets, request.drives());
    readBack(works, summary);
    return summary.result(works);
  }

  /** Finds which destinations lack which files. */
  private void plan(CardWork work) {
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

  private void checkSpace(List<CardWork> works) {
    Map<FileStore, Long> wanted = new HashMap<>();
    for (Target target : targets) {
      long bytes = 0;
      for (CardWork work : works) {
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
              "its drive must have room for "
                  + ByteCount.text(all)
                  + " of copies and "
                  + ByteCount.text(RESERVE),
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

  private void copy(CardWork work) throws InterruptedException {
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
  private boolean standsAlready(CardWork work, CardFile file, List<Target> to) throws IOException {
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

  private void readBack(List<CardWork> works, SecureSummary summary) throws InterruptedException {
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
    for (CardWork work : works) {
      SecureResult.CardResult card = summary.card(work);
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
