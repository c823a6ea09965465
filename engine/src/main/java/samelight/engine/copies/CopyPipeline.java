package samelight.engine.copies;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.LongConsumer;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.DurableFile;

/**
 * Reads files once and gives each piece to a hasher and to a writer for every destination. A
 * destination has a second thread that forces whole files to the device and names them while its
 * writer is at the next.
 */
final class CopyPipeline implements AutoCloseable {
  private static final int PIECE = 4 << 20;
  private static final int PIECES = 16;
  private static final int WAITING_FILES = 8;

  private final String card;
  private final Facts facts;
  private final BlockingQueue<ByteBuffer> free = new ArrayBlockingQueue<>(PIECES);
  private final BlockingQueue<Piece> toHash = new ArrayBlockingQueue<>(PIECES * 2);
  private final List<Lane> lanes = new ArrayList<>();
  private final List<Thread> threads = new ArrayList<>();
  private final LongConsumer progress;

  /** A file on its way. */
  private static final class Job {
    final CardFile file;
    final List<Target> targets;
    final CompletableFuture<String> hash = new CompletableFuture<>();
    final CompletableFuture<String> head = new CompletableFuture<>();
    private Facts.@Nullable Place place;

    Job(CardFile file, List<Target> targets) {
      this.file = file;
      this.targets = targets;
    }

    synchronized Facts.Place place(Facts facts, Path copy) {
      Facts.Place known = place;
      if (known == null) {
        known = facts.of(file, copy);
        place = known;
      }
      return known;
    }
  }

  /** What is handed on: bytes of a file, its end, its end without success, or the end of all. */
  private static final class Piece {
    final @Nullable Job job;
    final @Nullable ByteBuffer bytes;
    final boolean failed;
    private final AtomicInteger users = new AtomicInteger();

    Piece(@Nullable Job job, @Nullable ByteBuffer bytes, boolean failed) {
      this.job = job;
      this.bytes = bytes;
      this.failed = failed;
    }
  }

  /** A whole temporary file. */
  private record Whole(@Nullable Job job, Path temporary, @Nullable FileChannel channel) {}

  /** The two threads of a destination. */
  private final class Lane {
    final Target target;
    final BlockingQueue<Piece> toWrite = new ArrayBlockingQueue<>(PIECES * 2);
    final BlockingQueue<Whole> toName = new ArrayBlockingQueue<>(WAITING_FILES);

    Lane(Target target) {
      this.target = target;
    }

    void write() throws InterruptedException {
      Path temporary = null;
      FileChannel channel = null;
      while (true) {
        Piece piece = toWrite.take();
        Job job = piece.job;
        if (job == null) {
          toName.put(new Whole(null, Path.of("."), null));
          return;
        }
        try {
          if (target.broken() == null && channel == null && !piece.failed) {
            temporary = target.newTemporary();
            channel = Target.open(temporary);
          }
          ByteBuffer bytes = piece.bytes;
          if (bytes != null) {
            ByteBuffer own = bytes.duplicate();
            while (channel != null && target.broken() == null && own.hasRemaining()) {
              channel.write(own);
            }
          }
        } catch (IOException e) {
          target.breakOff(e);
        } catch (RuntimeException e) {
          target.breakOff(e.toString());
        } finally {
          release(piece);
        }
        if (piece.bytes == null && temporary != null) {
          if (piece.failed || channel == null || target.broken() != null) {
            discard(target, channel, temporary);
          } else {
            toName.put(new Whole(job, temporary, channel));
          }
          temporary = null;
          channel = null;
        }
      }
    }

    void name() throws InterruptedException {
      while (true) {
        Whole whole = toName.take();
        Job job = whole.job();
        FileChannel channel = whole.channel();
        if (job == null || channel == null) {
          return;
        }
        if (target.broken() != null) {
          discard(target, channel, whole.temporary());
          continue;
        }
        name(whole.temporary(), job, channel);
      }
    }

    private void name(Path temporary, Job job, FileChannel channel) {
      CardFile file = job.file;
      try {
        Target.complete(temporary, channel, file.modifiedMillis());
      } catch (IOException e) {
        target.breakOff(e);
        discard(target, null, temporary);
        return;
      }
      try {
        Facts.Place place = job.place(facts, temporary);
        target.publish(
            temporary,
            new CopyRecord(
                place.path(),
                file.size(),
                job.hash.join(),
                file.modifiedMillis(),
                card,
                file.name(),
                job.head.join(),
                place.body(),
                place.taken(),
                Instant.now(),
                null,
                CopyRecord.ReadBackFrom.NOT_YET));
      } catch (IOException | RuntimeException e) {
        String reason = e instanceof IOException io ? DurableFile.reasonOf(io) : String.valueOf(e);
        if (reason.contains("No space left") || !Files.isDirectory(target.folder())) {
          target.breakOff(reason);
        } else {
          target.refuse(file.name(), reason); // such as a name that this drive doesn't take
        }
        discard(target, null, temporary);
      }
    }
  }

  private interface Loop {
    void run() throws InterruptedException;
  }

  /**
   * Starts the threads.
   *
   * @param card label of the card
   * @param progress told how many more bytes were read from the card
   */
  CopyPipeline(String card, Facts facts, List<Target> targets, LongConsumer progress) {
    this.card = card;
    this.facts = facts;
    this.progress = progress;
    for (int i = 0; i < PIECES; i++) {
      free.add(ByteBuffer.allocateDirect(PIECE));
    }
    start("samelight-hash", this::hash);
    for (Target target : targets) {
      Lane lane = new Lane(target);
      lanes.add(lane);
      start("samelight-write", lane::write);
      start("samelight-name", lane::name);
    }
  }

  private void start(String name, Loop loop) {
    Thread thread =
        new Thread(
            () -> {
              try {
                loop.run();
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              }
            },
            name);
    thread.setDaemon(true);
    threads.add(thread);
    thread.start();
  }

  private void hash() throws InterruptedException {
    MessageDigest digest = ContentHash.digest();
    HeadDigest head = new HeadDigest();
    while (true) {
      Piece piece = toHash.take();
      Job job = piece.job;
      if (job == null) {
        return;
      }
      ByteBuffer bytes = piece.bytes;
      if (bytes != null) {
        digest.update(bytes.duplicate());
        head.update(bytes.duplicate());
        release(piece);
      } else {
        String whole = HexFormat.of().formatHex(digest.digest());
        job.head.complete(head.end());
        job.hash.complete(whole);
      }
    }
  }

  private static void discard(Target target, @Nullable FileChannel channel, Path temporary) {
    try {
      if (channel != null) {
        channel.close();
      }
      Files.deleteIfExists(temporary);
    } catch (IOException e) {
      target.breakOff(e);
    }
  }

  private void release(Piece piece) {
    ByteBuffer bytes = piece.bytes;
    if (bytes != null && piece.users.decrementAndGet() == 0) {
      free.add(bytes);
    }
  }

  private void hand(Job job, @Nullable ByteBuffer bytes, boolean failed)
      throws InterruptedException {
    Piece piece = new Piece(job, bytes, failed);
    List<Lane> to = lanes.stream().filter(l -> job.targets.contains(l.target)).toList();
    piece.users.set(to.size() + 1);
    toHash.put(piece);
    for (Lane lane : to) {
      lane.toWrite.put(piece);
    }
  }

  /**
   * Copies one file; returns when it is read, not yet written.
   *
   * @param targets the destinations that lack it
   * @return its hash, later
   * @throws IOException if it can't be read, or isn't as long as it was; nothing of it is named
   */
  CompletableFuture<String> copy(CardFile file, List<Target> targets)
      throws IOException, InterruptedException {
    Job job = new Job(file, targets);
    long n = 0;
    boolean whole = false;
    try (FileChannel in = FileChannel.open(file.path(), StandardOpenOption.READ)) {
      while (true) {
        ByteBuffer buffer = free.take();
        buffer.clear();
        boolean handed = false;
        boolean end = false;
        try {
          while (buffer.hasRemaining() && !end) {
            end = in.read(buffer) < 0;
          }
          buffer.flip();
          if (buffer.hasRemaining()) {
            n += buffer.remaining();
            progress.accept(buffer.remaining());
            handed = true;
            hand(job, buffer, false);
          }
        } finally {
          if (!handed) {
            free.add(buffer);
          }
        }
        if (end) {
          break;
        }
      }
      if (n != file.size()) {
        throw new IOException("it was listed with " + file.size() + " bytes and gave " + n);
      }
      whole = true;
    } finally {
      hand(job, null, !whole);
    }
    return job.hash;
  }

  /** Waits until all is written, named and forced. */
  void finish() throws InterruptedException {
    toHash.put(new Piece(null, null, false));
    for (Lane lane : lanes) {
      lane.toWrite.put(new Piece(null, null, false));
    }
    for (Thread thread : threads) {
      thread.join();
    }
    for (Lane lane : lanes) {
      if (lane.target.broken() == null) {
        try {
          lane.target.settle();
        } catch (IOException e) {
          lane.target.breakOff(e);
        }
      }
    }
  }

  @Override
  public void close() {
    threads.forEach(Thread::interrupt);
  }
}
