package samelight.engine.files;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.IntConsumer;

/** Runs one function over a list on several threads; results keep the list's order. */
public final class Parallel {
  /** Threads for work that waits for the device rather than for a core. */
  public static final int WRITERS = 8;

  /** Threads for work that needs a core. */
  public static final int CORES = Math.max(1, Runtime.getRuntime().availableProcessors());

  /** What is done with an item. */
  @FunctionalInterface
  public interface Step<T, R> {
    /** Does it. */
    R apply(T item) throws Exception;
  }

  private Parallel() {}

  /**
   * Applies a function to every item.
   *
   * @throws Exception the exception of the first item, in the list's order, that had one; items not
   *     yet begun are then left out
   */
  public static <T, R> List<R> map(List<T> items, int threads, Step<T, R> step) throws Exception {
    return map(items, threads, step, done -> {});
  }

  /**
   * The same, and says how far it is.
   *
   * @param progress told how many are done, from several threads, one at a time
   * @throws Exception as above
   */
  public static <T, R> List<R> map(
      List<T> items, int threads, Step<T, R> step, IntConsumer progress) throws Exception {
    Step<T, R> counted = counted(step, progress);
    List<R> results = new ArrayList<>();
    int workers = Math.min(threads, items.size());
    if (workers <= 1) {
      for (T item : items) {
        results.add(counted.apply(item));
      }
      return results;
    }
    Object[] out = new Object[items.size()];
    AtomicInteger next = new AtomicInteger();
    ExecutorService pool = NamedThreads.several("samelight-parallel", workers);
    try {
      List<Future<?>> running = new ArrayList<>();
      for (int w = 0; w < workers; w++) {
        running.add(
            pool.submit(
                () -> {
                  for (int i = next.getAndIncrement(); i < out.length; i = next.getAndIncrement()) {
                    try {
                      out[i] = counted.apply(items.get(i));
                    } catch (Throwable t) {
                      next.set(out.length);
                      throw t;
                    }
                  }
                  return null;
                }));
      }
      Throwable failed = null;
      for (Future<?> f : running) {
        try {
          f.get();
        } catch (ExecutionException e) {
          failed = failed == null || e.getCause() instanceof Error ? e.getCause() : failed;
        }
      }
      if (failed instanceof Error error) {
        throw error;
      }
      if (failed instanceof Exception exception) {
        throw exception;
      }
    } finally {
      pool.shutdown();
    }
    for (Object o : out) {
      @SuppressWarnings("unchecked") // only step's results were put there
      R r = (R) o;
      results.add(r);
    }
    return results;
  }

  private static <T, R> Step<T, R> counted(Step<T, R> step, IntConsumer progress) {
    int[] done = {0};
    return item -> {
      R result = step.apply(item);
      synchronized (done) {
        progress.accept(++done[0]);
      }
      return result;
    };
  }
}
