package samelight.engine.metadata;

import java.io.IOException;

/**
 * What one file may cost. Every read and every directory entry asks it, so that a file whose sizes
 * lie or whose offsets run in circles ends with a finding.
 */
final class Budget {
  /** Bytes read for metadata of one file; ordinary files need 10 to 200 KiB. */
  static final long METADATA_BYTES = 4L << 20;

  /** Time for one file, by its worker's own watch. */
  static final long NANOS = 2_000_000_000L;

  /** A file asked for more than its budget. */
  static final class Exceeded extends IOException {
    Exceeded(String message) {
      super(message);
    }
  }

  /** Thrown where the parsing library lets no checked exception through. */
  static final class ExceededUnchecked extends RuntimeException {
    ExceededUnchecked(String message) {
      super(message);
    }
  }

  private final long started = System.nanoTime();
  private long bytesLeft = METADATA_BYTES;
  private int steps;
  private volatile long waited;
  private volatile long waitingSince;

  void spend(long bytes) throws Exceeded {
    bytesLeft -= bytes;
    if (bytesLeft < 0) {
      throw new Exceeded("more than " + METADATA_BYTES + " bytes read");
    }
    checkTime();
  }

  /** Allows a picture of known length to be read on top. */
  void allow(long bytes) {
    bytesLeft += bytes;
  }

  void checkTime() throws Exceeded {
    if (ownNanos() > NANOS) {
      throw new Exceeded(lateMessage());
    }
  }

  /** One step of a loop that the file steers. */
  void step() {
    if ((++steps & 0x3FF) == 0 && ownNanos() > NANOS) {
      throw new ExceededUnchecked(lateMessage());
    }
    if (steps > 2_000_000) {
      throw new ExceededUnchecked("more than 2,000,000 entries");
    }
  }

  // A disk that has to spin up takes seconds for the first file; that is not the file's fault.
  void beginWait() {
    waitingSince = System.nanoTime();
  }

  @SuppressWarnings("NonAtomicVolatileUpdate") // one writer; the watchdog only reads
  void endWait() {
    waited += System.nanoTime() - waitingSince;
    waitingSince = 0;
  }

  /** Time spent on the file without waiting for the disk; may be asked by another thread. */
  long ownNanos() {
    long now = System.nanoTime();
    long since = waitingSince;
    return now - started - waited - (since == 0 ? 0 : now - since);
  }

  /** Time since the read that goes on began, or 0; may be asked by another thread. */
  long waitNanos() {
    long since = waitingSince;
    return since == 0 ? 0 : System.nanoTime() - since;
  }

  private static String lateMessage() {
    return "not done after " + NANOS / 1_000_000_000 + " s";
  }
}
