package samelight.engine.metadata;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicReferenceArray;
import java.util.function.BiFunction;
import java.util.function.IntFunction;
import org.jspecify.annotations.Nullable;

/**
 * Runs one task per file on all cores. A file ends by itself when its {@link Budget} is spent; a
 * worker that is stuck all the same is left behind, and another takes its place.
 */
final class ReadingPool<R> {
  /** Grace beyond the budget's own time. */
  private static final long STUCK_NANOS = Budget.NANOS + 1_000_000_000L;

  /** A single read that takes longer than this: the disk doesn't answer. */
  private static final long DISK_NANOS = 60_000_000_000L;

  private static final int MAX_LEFT_BEHIND = 32;

  private final int threads;
  private final int count;
  private final BiFunction<Integer, Budget, R> task;
  private final IntFunction<R> stuck;
  private final AtomicInteger next = new AtomicInteger();
  private final AtomicInteger done = new AtomicInteger();
  private final AtomicReferenceArray<@Nullable R> results;
  private final ReadProgress progress;
  private final Object lock = new Object();

  private final class Worker extends Thread {
    private volatile int index = -1;
    private volatile @Nullable Budget budget;
    private volatile boolean left;

    Worker(int number) {
      super("samelight-read-" + number);
      setDaemon(true);
    }

    @Override
    public void run() {
      while (!left) {
        int i = next.getAndIncrement();
        if (i >= count) {
          return;
        }
        Budget b = new Budget();
        budget = b;
        index = i;
        R result = task.apply(i, b);
        index = -1;
        finish(i, result);
      }
    }
  }

  /**
   * Makes a pool.
   *
   * @param threads how many workers, 1 or more
   * @param task gives the result for an index, and never throws
   * @param stuck gives the result for an index whose worker was left behind
   */
  ReadingPool(
      int threads,
      int count,
      BiFunction<Integer, Budget, R> task,
      IntFunction<R> stuck,
      ReadProgress progress) {
    this.threads = threads;
    this.count = count;
    this.task = task;
    this.stuck = stuck;
    this.progress = progress;
    this.results = new AtomicReferenceArray<>(Math.max(1, count));
  }

  private void finish(int i, R result) {
    if (results.compareAndSet(i, null, result)) {
      synchronized (lock) {
        int n = done.incrementAndGet();
        progress.read(n, count);
        if (n == count) {
          lock.notifyAll();
        }
      }
    }
  }

  /** Runs all tasks; results are in the order of their indices. */
  List<R> run() {
    int first = Math.max(1, Math.min(threads, count));
    List<Worker> workers = new ArrayList<>();
    int started = 0;
    int leftBehind = 0;
    while (started < first) {
      Worker w = new Worker(started++);
      workers.add(w);
      w.start();
    }
    boolean interrupted = false;
    while (done.get() < count) {
      synchronized (lock) {
        if (done.get() < count) {
          try {
            lock.wait(100);
          } catch (InterruptedException e) {
            interrupted = true;
          }
        }
      }
      for (int i = 0; i < workers.size(); i++) {
        Worker w = workers.get(i);
        int index = w.index;
        Budget b = w.budget;
        if (index >= 0
            && b != null
            && (b.ownNanos() > STUCK_NANOS || b.waitNanos() > DISK_NANOS)
            && w.index == index
            && leftBehind < MAX_LEFT_BEHIND) {
          w.left = true;
          leftBehind++;
          finish(index, stuck.apply(index));
          Worker other = new Worker(started++);
          workers.set(i, other);
          other.start();
        }
      }
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
    List<R> out = new ArrayList<>(count);
    for (int i = 0; i < count; i++) {
      R r = results.get(i);
      if (r == null) {
        throw new IllegalStateException("no result for index " + i);
      }
      out.add(r);
    }
    return out;
  }
}
